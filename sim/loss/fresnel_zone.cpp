#include "sim/loss/fresnel_zone.h"

namespace sim {

double fresnel_zone_radius_m(Frequency f, double d1_m, double d2_m, double n) noexcept {
  return std::sqrt(n * f.wavelength_m() * d1_m * d2_m / (d1_m + d2_m));
}

}  // namespace sim
