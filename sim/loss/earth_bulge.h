// How far the Earth rises into a path.
#pragma once

namespace sim {

/// Height by which the curved Earth stands above the chord between the ends.
///
///   h = 1000 d1 d2 / (2 k R)                                 [m]
///     d1, d2  from the ends to the place   d1_km, d2_km   km   >= 0
///     k       effective Earth radius factor               1    > 0, 4/3 in a standard atmosphere
///     R       Earth radius                 radius_km      km   > 0
///
/// Source:   [P.526] section 4.5, the term 500 C_e d_i (d - d_i)
/// Valid:    d1 + d2 much smaller than R
/// Differs:  nothing
double earth_bulge_m(double d1_km, double d2_km, double k, double radius_km) noexcept;

}  // namespace sim
