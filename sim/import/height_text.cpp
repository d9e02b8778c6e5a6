#include "sim/import/height_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace sim {
namespace {

constexpr double foot_m = 0.3048;  // international foot, exact
constexpr double inch_m = 0.0254;  // exact

/// Takes a number off the front of the text; decimal point or comma.
std::optional<double> take_number(std::string& text) {
  text.erase(0, std::min(text.find_first_not_of(" \t"), text.size()));
  std::string digits = text.substr(0, text.find_first_not_of("+-0123456789.,"));
  const std::size_t taken = digits.size();
  if (std::count(digits.begin(), digits.end(), ',') == 1 && digits.find('.') == std::string::npos) {
    std::replace(digits.begin(), digits.end(), ',', '.');
  }
  if (digits.starts_with('+')) digits.erase(0, 1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (error != std::errc{} || end != digits.data() + digits.size() || digits.empty() ||
      !std::isfinite(value)) {
    return std::nullopt;
  }
  text.erase(0, taken);
  return value;
}

std::string take_unit(std::string& text) {
  text.erase(0, std::min(text.find_first_not_of(" \t"), text.size()));
  std::size_t end = 0;
  while (end < text.size() &&
         std::string_view("+-0123456789., \t").find(text[end]) == std::string_view::npos) {
    ++end;
  }
  std::string unit = text.substr(0, end);
  text.erase(0, end);
  return unit;
}

}  // namespace

std::optional<double> length_from_text(const std::string& given) {
  std::string text = given;
  const auto value = take_number(text);
  if (!value) return std::nullopt;
  const std::string unit = take_unit(text);
  if (unit.empty() || unit == "m" || unit == "metres" || unit == "meters" || unit == "meter") {
    return text.find_first_not_of(" \t") == std::string::npos ? value : std::nullopt;
  }
  if (unit != "'" && unit != "ft" && unit != "feet" && unit != "foot" && unit != "′") {
    return std::nullopt;
  }
  double metres = *value * foot_m;
  if (text.find_first_not_of(" \t") != std::string::npos) {
    const auto inches = take_number(text);
    const std::string inch_unit = take_unit(text);
    if (!inches ||
        (inch_unit != "\"" && inch_unit != "in" && inch_unit != "″" && inch_unit != "''")) {
      return std::nullopt;
    }
    metres += *inches * inch_m;
  }
  return text.find_first_not_of(" \t") == std::string::npos ? std::optional(metres) : std::nullopt;
}

}  // namespace sim
