#include "sim/loss/exposure.h"

namespace sim {

double exposure_limit_w_per_m2(ExposureLimit limit, Frequency f) noexcept {
  switch (limit) {
    case ExposureLimit::fcc_public:
      return 10.0;
    case ExposureLimit::fcc_occupational:
      return 50.0;
    case ExposureLimit::icnirp_local_public:
      return 55.0 * std::pow(f.ghz(), -0.177);
    case ExposureLimit::icnirp_local_occupational:
      break;
  }
  return 275.0 * std::pow(f.ghz(), -0.177);
}

double exposure_distance_m(Dbm eirp, Frequency f, ExposureLimit limit,
                           double reflection_factor) noexcept {
  const double watt = 1e-3 * std::pow(10.0, eirp.value / 10.0);
  return std::sqrt(reflection_factor * watt /
                   (4.0 * std::numbers::pi * exposure_limit_w_per_m2(limit, f)));
}

double far_field_from_m(Frequency f, double aperture_m) noexcept {
  return 2.0 * aperture_m * aperture_m / f.wavelength_m();
}

}  // namespace sim
