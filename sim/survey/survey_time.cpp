#include "sim/survey/survey_time.h"

#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdio>

namespace sim {
namespace {

// Bare numbers are seconds from 1973 on, or milliseconds up to the year 2286: beyond lie compact
// dates such as 20260501100000, which are neither.
constexpr double least_s = 1e8, least_ms = 1e11, most_ms = 1e13;

}  // namespace

std::optional<double> zone_offset_s(const std::string& zone) {
  if (zone.empty() || zone == "UTC" || zone == "Z" || zone == "GMT") return 0.0;
  if (zone.front() != '+' && zone.front() != '-') return std::nullopt;
  // hh, hh:mm or hhmm, and nothing after it.
  std::string digits = zone.substr(1);
  if (digits.size() == 5 && digits[2] == ':') digits.erase(2, 1);
  if ((digits.size() != 2 && digits.size() != 4) ||
      digits.find_first_not_of("0123456789") != std::string::npos) {
    return std::nullopt;
  }
  const int number = std::stoi(digits);
  const int hours = digits.size() == 2 ? number : number / 100;
  const int minutes = digits.size() == 2 ? 0 : number % 100;
  if (hours > 14 || minutes > 59) return std::nullopt;
  return (zone.front() == '-' ? -1.0 : 1.0) * (3600.0 * hours + 60.0 * minutes);
}

std::optional<WrittenTime> written_time(const std::string& text) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error == std::errc{} && end == text.data() + text.size()) {
    if (!(number >= least_s && number <= most_ms)) return std::nullopt;
    return WrittenTime{number >= least_ms ? number / 1000.0 : number, true};
  }
  int y = 0, mo = 0, d = 0, h = 0, mi = 0, used = 0;
  double s = 0.0;
  char dash = 0, dash2 = 0, t = 0;
  if (std::sscanf(text.c_str(), "%4d%c%2d%c%2d%c%2d:%2d%n", &y, &dash, &mo, &dash2, &d, &t, &h, &mi,
                  &used) < 8 ||
      (dash != '-' && dash != '/') || dash != dash2 || (t != 'T' && t != ' ') || h < 0 || h > 24 ||
      mi < 0 || mi > 59) {
    return std::nullopt;
  }
  std::string rest = text.substr(static_cast<std::size_t>(used));
  if (!rest.empty() && rest.front() == ':') {
    const auto [after, bad] = std::from_chars(rest.data() + 1, rest.data() + rest.size(), s);
    if (bad != std::errc{} || !(s >= 0.0 && s < 61.0)) return std::nullopt;
    rest.erase(0, static_cast<std::size_t>(after - rest.data()));
  }
  if (h == 24 && (mi != 0 || s != 0.0)) return std::nullopt;  // ISO 8601: 24:00:00 ends a day
  using namespace std::chrono;
  const year_month_day date(year(y), month(static_cast<unsigned>(mo)),
                            day(static_cast<unsigned>(d)));
  if (!date.ok()) return std::nullopt;
  const auto zone = zone_offset_s(rest);
  if (!zone) return std::nullopt;
  return WrittenTime{static_cast<double>(sys_days(date).time_since_epoch().count()) * 86400.0 +
                         3600.0 * h + 60.0 * mi + s - *zone,
                     !rest.empty()};
}

std::optional<double> time_from_text(const std::string& text, double offset_s) {
  const auto written = written_time(text);
  if (!written) return std::nullopt;
  return written->utc ? written->seconds : written->seconds - offset_s;
}

std::string time_text(double seconds) {
  using namespace std::chrono;
  const sys_seconds time{std::chrono::seconds(static_cast<long long>(std::floor(seconds)))};
  const year_month_day date(floor<days>(time));
  const hh_mm_ss clock(time - floor<days>(time));
  return fmt::format("{:04d}-{:02d}-{:02d}T{:02d}:{:02d}:{:02d}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     clock.hours().count(), clock.minutes().count(), clock.seconds().count());
}

}  // namespace sim
