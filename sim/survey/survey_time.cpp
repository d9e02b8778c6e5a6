#include "sim/survey/survey_time.h"

#include <fmt/format.h>

#include <cctype>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <utility>

#include "sim/base/words.h"

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

namespace {

/// The day that a text begins with.
struct WrittenDate {
  std::chrono::sys_days day;
  std::size_t length = 0;   ///< characters taken, with a T behind
  bool order_known = true;  ///< false: 3/4/2026, and nothing tells which is the month
};
std::optional<WrittenDate> written_date(const std::string& text, DateOrder order) {
  int a = 0, b = 0, c = 0, used = 0;
  char one = 0, other = 0;
  if (std::sscanf(text.c_str(), "%4d%c%2d%c%4d%n", &a, &one, &b, &other, &c, &used) < 5 ||
      one != other || (one != '-' && one != '/' && one != '.')) {
    return std::nullopt;
  }
  const bool year_first = a > 31;
  WrittenDate date;
  if (!year_first) {
    if (one == '.') order = DateOrder::day_first;  // nobody writes 5.1.2026 for May
    date.order_known = order != DateOrder::unknown || a == b;
    if (order == DateOrder::month_first) std::swap(a, b);
    std::swap(a, c);
    if (a >= 0 && a < 100) a += 2000;
  }
  using namespace std::chrono;
  if (a < 0 || b < 1 || c < 1) return std::nullopt;
  const year_month_day day(year(a), month(static_cast<unsigned>(b)),
                           std::chrono::day(static_cast<unsigned>(c)));
  date.length = static_cast<std::size_t>(used);
  if (!day.ok()) return std::nullopt;
  date.day = day;
  if (date.length == text.size()) return date;
  const char next = text[date.length];
  if (next != 'T' && next != ' ' && next != ',') return std::nullopt;
  ++date.length;
  return date;
}

/// "10:00", "2:15:30.5 PM", "10:00:00+02:00", "10:00 UTC".
struct WrittenClock {
  double seconds = 0.0;
  std::optional<double> zone_s = std::nullopt;
};
std::optional<WrittenClock> written_clock(const std::string& text) {
  int h = 0, mi = 0, used = 0;
  double s = 0.0;
  if (text.empty() || std::isdigit(static_cast<unsigned char>(text[0])) == 0 ||
      std::sscanf(text.c_str(), "%2d:%2d%n", &h, &mi, &used) < 2 || h < 0 || h > 24 || mi < 0 ||
      mi > 59) {
    return std::nullopt;
  }
  std::string rest = text.substr(static_cast<std::size_t>(used));
  if (!rest.empty() && rest.front() == ':') {
    const auto [after, bad] = std::from_chars(rest.data() + 1, rest.data() + rest.size(), s);
    if (bad != std::errc{} || !(s >= 0.0 && s < 61.0)) return std::nullopt;
    rest.erase(0, static_cast<std::size_t>(after - rest.data()));
  }
  if (h == 24 && (mi != 0 || s != 0.0)) return std::nullopt;  // ISO 8601: 24:00:00 ends a day
  rest = trimmed(rest);
  const std::string half = lower(rest.substr(0, 2));
  if (half == "am" || half == "pm") {
    if (h < 1 || h > 12) return std::nullopt;
    h = h % 12 + (half == "pm" ? 12 : 0);
    rest = trimmed(rest.substr(2));
  }
  WrittenClock clock{.seconds = 3600.0 * h + 60.0 * mi + s};
  if (rest.empty()) return clock;
  clock.zone_s = zone_offset_s(rest);
  return clock.zone_s ? std::optional(clock) : std::nullopt;
}

}  // namespace

std::optional<WrittenTime> written_time(const std::string& text, DateOrder order) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error == std::errc{} && end == text.data() + text.size()) {
    if (!(number >= least_s && number <= most_ms)) return std::nullopt;
    return WrittenTime{number >= least_ms ? number / 1000.0 : number, true};
  }
  const auto date = written_date(text, order);
  if (!date || !date->order_known) return std::nullopt;
  const auto clock = written_clock(trimmed(text.substr(date->length)));
  if (!clock) return std::nullopt;
  return WrittenTime{static_cast<double>(date->day.time_since_epoch().count()) * 86400.0 +
                         clock->seconds - clock->zone_s.value_or(0.0),
                     clock->zone_s.has_value()};
}

bool has_date(const std::string& text) {
  return written_date(text, DateOrder::day_first).has_value() ||
         written_date(text, DateOrder::month_first).has_value();
}

DateOrder date_order(const std::vector<std::string>& texts) {
  bool day_first = false, month_first = false;
  for (const std::string& text : texts) {
    // A day above 12 is no month.
    const bool as_days = written_date(text, DateOrder::day_first).has_value();
    const bool as_months = written_date(text, DateOrder::month_first).has_value();
    day_first = day_first || (as_days && !as_months);
    month_first = month_first || (as_months && !as_days);
  }
  if (day_first == month_first) return DateOrder::unknown;
  return day_first ? DateOrder::day_first : DateOrder::month_first;
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
