// How wide the way of a wave is.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Radius of the n-th Fresnel zone around the direct path.
///
///   R_n = sqrt( n lambda d1 d2 / (d1 + d2) )               [m]
///     d1, d2  from the ends to the place   d1_m, d2_m   m   > 0
///     n       order of the zone            n            1   >= 1
///
/// Source:   [P.526] section 2.1
/// Valid:    radius much smaller than d1 and d2
/// Differs:  exact form; the practical form with 550 is 0.45 % larger
double fresnel_zone_radius_m(Frequency f, double d1_m, double d2_m, double n) noexcept;

}  // namespace sim
