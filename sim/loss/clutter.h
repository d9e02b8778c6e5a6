// The clutter around one end, as a statistic.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Clutter loss of a terrestrial path that is not exceeded at `percent` of the places.
///
///   L_l   = -2 log10(10^(-5 log10 f - 12.5) + 10^(-16.5))                               [dB]
///   L_s   = 32.98 + 23.9 log10 d + 3 log10 f
///   L_ctt = -5 log10(10^(-0.2 L_l) + 10^(-0.2 L_s)) - sigma_cb Q^-1(p / 100)
///   sigma_cb^2 = (16 10^(-0.2 L_l) + 36 10^(-0.2 L_s)) / (10^(-0.2 L_l) + 10^(-0.2 L_s))
///     f  frequency  GHz    d  distance  distance_km  km    p  percentage of places  percent
///
/// Source:   [P.2108-1] section 3.2
/// Valid:    0.5-67 GHz, d >= 0.25 km, 0 < p < 100; not on top of a path whose obstacles are known
/// Differs:  nothing; never above its value at 2 km, as the document has it
Db clutter_loss(Frequency f, double distance_km, double percent) noexcept;

}  // namespace sim
