#include "sim/survey/survey_time.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdio>

namespace sim {
namespace {

/// Days since 1970-01-01 of a date of the Gregorian calendar (proleptic), by whole 400-year cycles.
long long days_from_date(long long y, int m, int d) {
  y -= m <= 2 ? 1 : 0;
  const long long cycle = (y >= 0 ? y : y - 399) / 400;
  const long long year_in = y - cycle * 400;
  const long long day_in_year = (153 * (m + (m > 2 ? -3 : 9)) + 2) / 5 + d - 1;
  return cycle * 146097 + year_in * 365 + year_in / 4 - year_in / 100 + day_in_year - 719468;
}

}  // namespace

std::optional<double> zone_offset_s(const std::string& zone) {
  if (zone.empty() || zone == "UTC" || zone == "Z" || zone == "GMT") return 0.0;
  if (zone.front() != '+' && zone.front() != '-') return std::nullopt;
  int hours = 0, minutes = 0;
  const std::string digits = zone.substr(1);
  if (std::sscanf(digits.c_str(), "%2d:%2d", &hours, &minutes) < 1 || hours > 14 || minutes > 59) {
    return std::nullopt;
  }
  return (zone.front() == '-' ? -1.0 : 1.0) * (3600.0 * hours + 60.0 * minutes);
}

std::optional<double> time_from_text(const std::string& text, double offset_s) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error == std::errc{} && end == text.data() + text.size()) {
    if (!std::isfinite(number) || number < 1e8) return std::nullopt;
    return number > 1e11 ? number / 1000.0 : number;  // milliseconds are that large
  }
  int y = 0, mo = 0, d = 0, h = 0, mi = 0, used = 0;
  double s = 0.0;
  char dash = 0, dash2 = 0, t = 0;
  if (std::sscanf(text.c_str(), "%4d%c%2d%c%2d%c%2d:%2d%n", &y, &dash, &mo, &dash2, &d, &t, &h, &mi,
                  &used) < 8 ||
      (dash != '-' && dash != '/') || dash != dash2 || (t != 'T' && t != ' ') || mo < 1 ||
      mo > 12 || d < 1 || d > 31 || h > 24 || mi > 59) {
    return std::nullopt;
  }
  std::string rest = text.substr(static_cast<std::size_t>(used));
  if (!rest.empty() && rest.front() == ':') {
    const auto [after, bad] = std::from_chars(rest.data() + 1, rest.data() + rest.size(), s);
    if (bad != std::errc{}) return std::nullopt;
    rest.erase(0, static_cast<std::size_t>(after - rest.data()));
  }
  const auto zone = rest.empty() ? std::optional(offset_s) : zone_offset_s(rest);
  if (!zone) return std::nullopt;
  return static_cast<double>(days_from_date(y, mo, d)) * 86400.0 + 3600.0 * h + 60.0 * mi + s -
         *zone;
}

std::string time_text(double seconds) {
  const double whole = std::floor(seconds);
  long long days = static_cast<long long>(std::floor(whole / 86400.0));
  const int in_day = static_cast<int>(whole - static_cast<double>(days) * 86400.0);
  days += 719468;
  const long long cycle = (days >= 0 ? days : days - 146096) / 146097;
  const long long day = days - cycle * 146097;
  const long long year_in = (day - day / 1460 + day / 36524 - day / 146096) / 365;
  const long long in_year = day - (365 * year_in + year_in / 4 - year_in / 100);
  const long long mp = (5 * in_year + 2) / 153;
  const long long d = in_year - (153 * mp + 2) / 5 + 1, m = mp + (mp < 10 ? 3 : -9);
  return fmt::format("{:04d}-{:02d}-{:02d}T{:02d}:{:02d}:{:02d}Z",
                     year_in + cycle * 400 + (m <= 2 ? 1 : 0), m, d, in_day / 3600,
                     in_day / 60 % 60, in_day % 60);
}

}  // namespace sim
