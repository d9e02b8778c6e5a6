// A street between houses, as a statistic.
#pragma once

#include "sim/base/units.h"

namespace sim {

struct StreetCanyonLoss {
  double breakpoint_m = 0.0;  ///< d'_BP
  Db los;
  Db nlos;           ///< never below los
  Db nlos_optional;  ///< the simpler form
};

/// Median path loss in an urban street canyon, node below the roofs.
///
///   los, d <= d'_BP   32.4 + 21 log10 d_3D + 20 log10 f                                 [dB]
///   los, beyond       32.4 + 40 log10 d_3D + 20 log10 f - 9.5 log10(d'_BP^2 + (h_n - h_r)^2)
///   nlos              max(los, 35.3 log10 d_3D + 22.4 + 21.3 log10 f - 0.3 (h_r - 1.5))
///   nlos, optional    32.4 + 20 log10 f + 31.9 log10 d_3D
///   d'_BP = 4 (h_n - 1 m)(h_r - 1 m) f / c, with c = 3e8 m/s as the document has it
///     f         frequency                    GHz
///     d         horizontal distance          distance_2d_m          m
///     h_n, h_r  heights above the street     h_node_m, h_receiver_m m
///
/// Source:   [TR38.901] Table 7.4.1-1, UMi - street canyon
/// Valid:    0.5-100 GHz, d 10-5000 m, h_n = 10 m, h_r 1.5-22.5 m
/// Differs:  h_n may be given; other heights than 10 m are outside the range
StreetCanyonLoss street_canyon_loss(Frequency f, double distance_2d_m, double h_node_m,
                                    double h_receiver_m) noexcept;

/// Probability of line of sight in such a street.
///
///   1 for d <= 18 m, else 18 / d + exp(-d / 36) (1 - 18 / d)
///
/// Source:   [TR38.901] Table 7.4.2-1, UMi - street canyon
/// Valid:    outdoors
/// Differs:  nothing
double los_probability(double distance_2d_m) noexcept;

}  // namespace sim
