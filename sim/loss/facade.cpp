#include "sim/loss/facade.h"

#include "sim/loss/rough_surface.h"

namespace sim {

FacadeReflection facade_reflection(const WindowedWall& facade, Frequency f, Angle incidence,
                                   WavePolarization polarization) noexcept {
  const std::complex<double> wall = half_space_reflection(facade.wall, incidence, polarization);
  const double kept = mirror_share_of_rough_surface(f, facade.wall_rms_height_m, incidence);
  double power = (1.0 - facade.glass_share) * std::norm(wall) * kept;
  if (facade.glass_share > 0.0) {
    power += facade.glass_share *
             slab_loss(facade.glass, facade.glass_thickness_m, f, incidence, polarization)
                 .reflected_share;
  }
  const double size = std::abs(wall);
  const std::complex<double> turn = size > 0.0 ? wall / size : std::complex<double>(1.0);
  return {.power = power, .coefficient = std::sqrt(power) * turn};
}

}  // namespace sim
