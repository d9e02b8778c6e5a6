// A screen with a top and two sides: pole, sign, vehicle, person.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Losses of a finite screen, from three edges that each let some of the wave by.
///
///   J_i from v_i of each edge; j_i = 10^(J_i / 20)
///   minimum = -20 log10(1/j_1 + 1/j_2 + 1/j_3)          [dB]   paths in phase
///   mean    = -10 log10(1/j_1^2 + 1/j_2^2 + 1/j_3^2)    [dB]   paths in power
///
/// Offsets are from the direct path, positive where the screen reaches past it on that side: top
/// vertically, left and right horizontally.
///
/// Source:   [P.526] section 5.1; formula from memory
/// Valid:    offsets small against d1, d2; bottom on the ground
/// Differs:  never below 0 dB (three edges at grazing would give a gain)
struct FiniteScreenLoss {
  Db minimum, mean;
};
FiniteScreenLoss finite_screen_loss(Frequency f, double d1_m, double d2_m, double top_m,
                                    double left_m, double right_m) noexcept;

}  // namespace sim
