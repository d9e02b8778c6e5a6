#include "sim/survey/survey_units.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <map>
#include <vector>

#include "sim/base/words.h"
#include "sim/import/height_text.h"

namespace sim {
namespace {

using Factors = std::map<std::string, double, std::less<>>;

// International foot, yard and mile (1959): exact.
const Factors length_units{
    {"m", 1.0},       {"metre", 1.0},    {"metres", 1.0},  {"meter", 1.0},     {"meters", 1.0},
    {"km", 1000.0},   {"ft", 0.3048},    {"foot", 0.3048}, {"feet", 0.3048},   {"yd", 0.9144},
    {"yard", 0.9144}, {"yards", 0.9144}, {"mi", 1609.344}, {"mile", 1609.344}, {"miles", 1609.344}};
const Factors rate_units{{"bps", 1e-6},    {"bit/s", 1e-6},   {"b/s", 1e-6},   {"kbps", 1e-3},
                         {"kbit/s", 1e-3}, {"kb/s", 1e-3},    {"mbps", 1.0},   {"mbit/s", 1.0},
                         {"mb/s", 1.0},    {"mbits/s", 1.0},  {"gbps", 1e3},   {"gbit/s", 1e3},
                         {"gb/s", 1e3},    {"kbits/s", 1e-3}, {"gbits/s", 1e3}};
const Factors delay_units{{"ms", 1.0},   {"msec", 1.0},   {"s", 1000.0},      {"sec", 1000.0},
                          {"us", 0.001}, {"usec", 0.001}, {"seconds", 1000.0}};
const Factors level_units{{"dbm", 1.0}};
const Factors ratio_units{{"db", 1.0}};

const Factors& units_of(Quantity quantity) {
  static const Factors none;
  switch (quantity) {
    case Quantity::length:
      return length_units;
    case Quantity::rate:
      return rate_units;
    case Quantity::delay:
      return delay_units;
    case Quantity::level:
      return level_units;
    case Quantity::ratio:
      return ratio_units;
    case Quantity::number:
      break;
  }
  return none;
}

bool is_any_unit(const std::string& word) {
  for (const Quantity q :
       {Quantity::length, Quantity::rate, Quantity::delay, Quantity::level, Quantity::ratio}) {
    if (unit_factor(q, word)) return true;
  }
  return false;
}

/// Android gives Integer.MAX_VALUE where it knows no level (its API documentation, from memory);
/// logs of other widths write theirs.
bool is_no_value(double number) {
  constexpr std::array<double, 5> unknown{2147483647.0, -2147483648.0, 4294967295.0,
                                          9223372036854775807.0, -9223372036854775808.0};
  return std::find(unknown.begin(), unknown.end(), number) != unknown.end();
}

bool is_no_value(const std::string& word) {
  constexpr std::array<std::string_view, 14> unknown{
      "nan",         "n/a",           "na",  "-",    "--", "null", "none", "?", "unknown",
      "unavailable", "not available", "inf", "-inf", "nil"};
  return std::find(unknown.begin(), unknown.end(), lower(word)) != unknown.end();
}

/// A comma is a decimal one where it cannot part thousands: "40,3786534", "0,501", "7,5 Gbps".
std::string with_decimal_point(std::string text) {
  const auto comma = text.find(',');
  if (comma == std::string::npos || text.find_first_of(".,", comma + 1) != std::string::npos) {
    return text;
  }
  const auto after = text.find_first_not_of("0123456789", comma + 1);
  const std::size_t digits = (after == std::string::npos ? text.size() : after) - comma - 1;
  const std::string before = text.substr(0, comma);
  const bool only_zero = before == "0" || before == "-0" || before == "+0";
  if (digits > 0 && (digits != 3 || only_zero)) text[comma] = '.';
  return text;
}

}  // namespace

Quantity quantity_of(const std::string& our_name) {
  static const std::map<std::string, Quantity, std::less<>> quantities{
      {"accuracy_m", Quantity::length}, {"along_m", Quantity::length},
      {"along_ft", Quantity::length},   {"x_m", Quantity::length},
      {"y_m", Quantity::length},        {"downlink_mbps", Quantity::rate},
      {"uplink_mbps", Quantity::rate},  {"latency_ms", Quantity::delay},
      {"rsrp_dbm", Quantity::level},    {"sinr_db", Quantity::ratio}};
  const auto found = quantities.find(our_name);
  return found == quantities.end() ? Quantity::number : found->second;
}

std::string words_of(Quantity quantity) {
  switch (quantity) {
    case Quantity::length:
      return "a length (m, km, ft, yd, mi)";
    case Quantity::rate:
      return "a rate (bps, kbps, Mbps, Gbps, MB/s)";
    case Quantity::delay:
      return "a delay (ms, s, us)";
    case Quantity::level:
      return "a level (dBm)";
    case Quantity::ratio:
      return "a ratio (dB)";
    case Quantity::number:
      break;
  }
  return "a number";
}

std::optional<double> unit_factor(Quantity quantity, const std::string& unit) {
  const std::string word = trimmed(unit);
  // "MB/s", "MBps": eight bits to the byte.
  const bool bytes = quantity == Quantity::rate && word.size() >= 3 && word.size() <= 4 &&
                     word.find('B') != std::string::npos &&
                     (word.ends_with("/s") || word.ends_with("ps")) && word[0] != 'B';
  const auto& factors = units_of(quantity);
  const auto found = factors.find(lower(word));
  if (found == factors.end()) return std::nullopt;
  return bytes ? 8.0 * found->second : found->second;
}

HeaderWords header_words(const std::string& header) {
  HeaderWords words;
  std::string name = trimmed(header);
  for (const auto& [open, close] : {std::pair{'(', ')'}, std::pair{'[', ']'}}) {
    const auto at = name.rfind(open);
    if (at == std::string::npos || at == 0 || name.back() != close) continue;
    words.unit = trimmed(name.substr(at + 1, name.size() - at - 2));
    words.in_brackets = true;
    name = trimmed(name.substr(0, at));
  }
  if (!words.in_brackets) {
    const auto at = name.find_last_of(" _");
    if (at != std::string::npos && at > 0 && is_any_unit(name.substr(at + 1))) {
      words.unit = name.substr(at + 1);
      name = name.substr(0, at);
      const std::string head = lower(name);
      if (head.ends_with("_in") || head.ends_with(" in")) name.resize(name.size() - 3);
    }
  }
  for (const char c : lower(name)) {
    const bool gap = std::isspace(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-';
    if (!gap) {
      words.name += c;
    } else if (!words.name.empty() && words.name.back() != ' ') {
      words.name += ' ';
    }
  }
  return words;
}

CellNumber number_from_cell(const std::string& cell, Quantity quantity, double factor) {
  using Kind = CellNumber::Kind;
  const std::string text = with_decimal_point(trimmed(cell));
  if (text.empty()) return {};
  if (is_no_value(text)) return {.kind = Kind::no_value};
  double number = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] =
      std::from_chars(text.data() + (text.front() == '+' ? 1 : 0), end, number);
  if (error != std::errc{} || !std::isfinite(number)) return {.kind = Kind::not_a_number};
  if (stop == end) {
    if (is_no_value(number)) return {.kind = Kind::no_value};
    return {.kind = Kind::value, .value = number * factor};
  }
  const std::string unit(stop, end);
  if (const auto own = unit_factor(quantity, unit)) {
    return {.kind = Kind::value, .value = number * *own, .with_unit = true};
  }
  // Feet and inches; "1,000 ft" may be a thousand or one.
  if (quantity == Quantity::length && text.find(',') == std::string::npos) {
    if (const auto metres = length_from_text(text)) {
      return {.kind = Kind::value, .value = *metres, .with_unit = true};
    }
  }
  return {.kind = Kind::not_a_number};
}

}  // namespace sim
