#include "sim/explain/figures.h"

#include <fmt/format.h>

#include <cmath>

namespace sim {

std::string rate_text(double mbps) {
  if (!(mbps >= 10.0)) return fmt::format("{:.{}f}", mbps, mbps < 1.0 ? 1 : 0);
  const double figure = std::pow(10.0, std::floor(std::log10(mbps)) - 1.0);
  return fmt::format("{:.0f}", figure * std::round(mbps / figure));
}

std::string level_text(double dbm) {
  return dbm < least_heard_dbm ? fmt::format("below {:.0f} dBm", least_heard_dbm)
                               : fmt::format("{:.0f} dBm", dbm);
}

std::string whole_length_text(double metres, LengthUnits units) {
  constexpr double foot_m = 0.3048;
  std::string text = fmt::format("{:.0f} m", metres);
  if (units == LengthUnits::imperial) text += fmt::format(" ({:.0f} ft)", metres / foot_m);
  return text;
}

}  // namespace sim
