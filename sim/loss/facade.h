// What the front of a house sends back: wall and windows together.
#pragma once

#include <complex>

#include "sim/base/units.h"
#include "sim/loss/slab.h"

namespace sim {

/// A wall with windows. The first Fresnel zone on a facade covers both.
struct WindowedWall {
  std::complex<double> wall, glass;  ///< eta of each
  double glass_share = 0.0;          ///< of the area, 0..1
  double glass_thickness_m = 0.0;
  double wall_rms_height_m = 0.0;  ///< roughness of the wall; glass is smooth
};

/// Power that the mirror image of a facade keeps, and the phase that its wall gives it.
struct FacadeReflection {
  double power = 0.0;                ///< 0..1
  std::complex<double> coefficient;  ///< |coefficient|^2 = power
};

/// Shares in power, for panes and wall do not lie in one plane to a wavelength.
///
///   power = g |R_slab|^2 + (1 - g) |R_half_space|^2 rho^2
///     g     share of glass           glass_share
///     rho   roughness of the wall    mirror_share_of_rough_surface
///
/// Source:   [P.2040] sections 2.2.1 and 2.2.2.2 for the parts; shares in power as [TR38.901]
///           section 7.4.3 mixes its walls
/// Valid:    plane wave on a facade that fills the first Fresnel zone
/// Differs:  one pane; double glazing and metal coats send back more
FacadeReflection facade_reflection(const WindowedWall& facade, Frequency f, Angle incidence,
                                   WavePolarization polarization) noexcept;

}  // namespace sim
