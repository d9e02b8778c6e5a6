// Round a corner into a side street.
#pragma once

#include "sim/base/units.h"

namespace sim {

enum class CornerKind { urban, residential };

struct CornerLoss {
  Db corner;  ///< L_c
  Db beyond;  ///< L_att
  Db total() const { return corner + beyond; }
};

/// Loss on top of the loss in sight up to the crossing, L_LoS(x1).
///
///   L_c    0                                                for x2 <= w1 / 2 + 1        [dB]
///          L_corner / log10(1 + d_corner) log10(x2 - w1/2)  up to w1 / 2 + 1 + d_corner
///          L_corner                                         beyond
///   L_att  10 beta log10((x1 + x2) / (x1 + w1 / 2 + d_corner))  beyond w1 / 2 + 1 + d_corner, else
///   0 L_corner 20 dB urban, 30 dB residential; d_corner 30 m; beta 6
///     x1  node to the crossing          x1_m   m   > 0
///     x2  crossing to the receiver      x2_m   m   >= 0
///     w1  width of the node's street    w1_m   m   >= 0
///
/// Source:   [P.1411] section 5.3 as remembered; neither formula nor constants confirmed in any
/// source Valid:    2-38 GHz, which does not enter the formula Differs:  nothing; the formula
/// itself jumps where L_att begins, by
///           60 log10(1 + 1 / (x1 + w1 / 2 + d_corner)), 0.30 dB for x1 = 50 m, w1 = 15 m
CornerLoss corner_loss(double x1_m, double x2_m, double w1_m, CornerKind kind) noexcept;

}  // namespace sim
