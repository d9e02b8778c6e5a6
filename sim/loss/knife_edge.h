// One edge in the way.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Dimensionless obstruction of an edge h above (positive) or below the direct path.
///
///   v = h sqrt( (2 / lambda) (1/d1 + 1/d2) )
///     h       edge above the path     h_m           m
///     d1, d2  from the ends to it     d1_m, d2_m    m     > 0
///
/// Source:   [P.526] section 4.1
/// Valid:    h much smaller than d1, d2
/// Differs:  nothing
double fresnel_parameter(Frequency f, double d1_m, double d2_m, double h_m) noexcept;

/// Diffraction loss of one knife edge, approximate form.
///
///   J(v) = 6.9 + 20 log10( sqrt((v - 0.1)^2 + 1) + v - 0.1 )   [dB]   for v > -0.78, else 0
///
/// Source:   [P.526] section 4.1
/// Valid:    v > -0.78; below, the loss is taken as 0
/// Differs:  nothing
Db knife_edge_loss(double v) noexcept;

/// The same as the share of the power that gets past: 10^(-J/10), without a logarithm.
///
///   p(v) = 10^(-0.69) / (sqrt((v - 0.1)^2 + 1) + v - 0.1)^2   [1]   for v > -0.78, else 1
///
/// Source:   [P.526] section 4.1
/// Valid:    v > -0.78; below, nothing is taken
/// Differs:  nothing
double knife_edge_power(double v) noexcept;

/// The same by the Fresnel integrals, which oscillate for v < -0.78.
///
///   J(v) = -20 log10( sqrt((1 - C(v) - S(v))^2 + (C(v) - S(v))^2) / 2 )   [dB]
///
/// Source:   [P.526] section 4.1
/// Valid:    every v
/// Differs:  nothing; see field_past_edge
Db knife_edge_loss_exact(double v) noexcept;

}  // namespace sim
