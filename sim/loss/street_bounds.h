// A street in sight at UHF: between which losses it lies.
#pragma once

#include "sim/base/units.h"

namespace sim {

struct StreetBounds {
  Db lower, upper, median;
  double breakpoint_m = 0.0;
  Db breakpoint;  ///< L_bp, the lower bound at the breakpoint
};

/// Line of sight along a street canyon, node below the roofs.
///
///   R_bp = 4 h_n h_r / lambda                                      [m]
///   L_bp = |20 log10(lambda^2 / (8 pi h_n h_r))|                   [dB]
///   lower   L_bp      + 20 log10(d / R_bp), 40 log10 beyond R_bp
///   upper   L_bp + 20 + 25 log10(d / R_bp), 40 log10 beyond R_bp
///   median  L_bp + 6  + 20 log10(d / R_bp), 40 log10 beyond R_bp
///     d         distance                     distance_m             m   > 0
///     h_n, h_r  heights above the street     h_node_m, h_receiver_m m   > 0
///
/// Source:   [P.1411] line of sight within street canyons, UHF; formulas from memory
/// Valid:    0.3-3 GHz
/// Differs:  the millimetre-wave form of the same section is left: its breakpoint is beyond a
/// street
StreetBounds street_bounds(Frequency f, double distance_m, double h_node_m,
                           double h_receiver_m) noexcept;

}  // namespace sim
