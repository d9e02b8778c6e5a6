#include "sim/loss/effective_earth.h"

#include <cmath>

namespace sim {

double effective_earth_factor(double gradient_n_per_km) noexcept {
  return 157.0 / (157.0 + gradient_n_per_km);
}

double radio_horizon_km(double height_m, double k, double radius_km) noexcept {
  return std::sqrt(2.0 * k * radius_km * height_m / 1000.0);
}

}  // namespace sim
