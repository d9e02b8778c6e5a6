#include "sim/report/number_text.h"

#include <fmt/format.h>

#include <cmath>

namespace sim {

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "";
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return text;
}

}  // namespace sim
