// Streets as others measured them: fits of single campaigns, to hold a simulation against.
#pragma once

#include "sim/base/units.h"

namespace sim {

enum class MeasuredForm {
  nyc_2014_los,
  nyc_2014_nlos,
  nyc_2015_los,
  nyc_2015_nlos,
  ci_los,
  ci_nlos,
  abg_nlos
};

struct MeasuredStreetLoss {
  Db loss;   ///< median
  Db sigma;  ///< spread
};

/// Path loss of street-level campaigns and of the fit that pools them.
///
///   nyc_2014_los    61.4 + 20 log10 d,   sigma 5.8                        [dB]  28 GHz
///   nyc_2014_nlos   72.0 + 29.2 log10 d, sigma 8.7                              28 GHz
///   ci, n           20 log10(4 pi 1 m f / c) + 10 n log10 d
///     nyc_2015_los  n 2.1, sigma 3.6;   nyc_2015_nlos  n 3.4, sigma 9.7         28 GHz
///     ci_los        n 2.1, sigma 3.76;  ci_nlos        n 3.17, sigma 8.09
///   abg_nlos        35.3 log10 d + 22.4 + 21.3 log10 f, sigma 7.82
///     d  distance   distance_m   m   > 0     f  frequency   GHz
///
/// Source:   nyc_2014 [AKDENIZ-14] Table I: slopes as seen in public code, spreads from memory;
///           nyc_2015 [SAMIMI-15], ci and abg [5GCM-16]: from memory
/// Valid:    nyc forms 28 GHz, which does not enter nyc_2014; others 6-100 GHz (from memory)
/// Differs:  nothing
MeasuredStreetLoss measured_street_loss(Frequency f, double distance_m, MeasuredForm form) noexcept;

/// Whether a link of the New York campaign was lost or in sight.
///
///   p_out = max(0, 1 - exp(-d / 30 + 5.2)),   p_los = (1 - p_out) exp(-d / 67.1)
///     d  distance   distance_m   m   >= 0
///
/// Source:   [AKDENIZ-14] from memory
/// Valid:    28 GHz, dense city
/// Differs:  nothing
struct MeasuredSight {
  double outage = 0.0, los = 0.0;
};
MeasuredSight measured_sight(double distance_m) noexcept;

}  // namespace sim
