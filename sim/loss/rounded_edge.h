// A round thing in the way: a hill top, a roof, a trunk.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Diffraction loss of one rounded obstacle: that of a knife edge at its top plus its curvature.
///
///   A = J(v) + T(m, n)                                      [dB]
///   m = R ((d1 + d2) / (d1 d2)) / (pi R / lambda)^(1/3)
///   n = h (pi R / lambda)^(2/3) / R
///   T = 7.2 m^(1/2) - (2 - 12.5 n) m + 3.6 m^(3/2) - 0.8 m^2                         m n <= 4
///   T = -6 - 20 log10(m n) + 7.2 m^(1/2) - (2 - 17 n) m + 3.6 m^(3/2) - 0.8 m^2      m n >  4
///     R       radius of curvature    radius_m      m     >= 0; at 0 a knife edge
///     h       top above the path     h_m           m
///     d1, d2  from the ends to it    d1_m, d2_m    m     > 0
///
/// Source:   [P.526] section 4.2; formula from memory
/// Valid:    h much smaller than d1, d2; the top at or above the path
/// Differs:  nothing; the published T itself drops by 0.04 dB at m n = 4
struct RoundedEdge {
  double v = 0.0, m = 0.0, n = 0.0;
  Db knife;      ///< J(v)
  Db curvature;  ///< T(m, n)
  Db loss() const { return knife + curvature; }
};
RoundedEdge rounded_edge_loss(Frequency f, double d1_m, double d2_m, double h_m,
                              double radius_m) noexcept;

}  // namespace sim
