#include "sim/loss/exposure.h"

namespace sim {

double exposure_limit_w_per_m2(ExposureLimit limit, Frequency f) noexcept {
  return limit == ExposureLimit::fcc_public ? 10.0 : 55.0 * std::pow(f.ghz(), -0.177);
}

double exposure_distance_m(Dbm eirp, Frequency f, ExposureLimit limit,
                           double reflection_factor) noexcept {
  const double watt = 1e-3 * std::pow(10.0, eirp.value / 10.0);
  return std::sqrt(reflection_factor * watt /
                   (4.0 * std::numbers::pi * exposure_limit_w_per_m2(limit, f)));
}

}  // namespace sim
