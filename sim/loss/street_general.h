// A street by one regression line.
#pragma once

#include "sim/base/units.h"

namespace sim {

enum class StreetRow {
  los,
  nlos_high_rise,
  nlos_low_rise,
  nlos_residential,
  above_roof_los,
  above_roof_nlos_high_rise
};

struct StreetGeneralLoss {
  Db loss;   ///< median
  Db sigma;  ///< spread
};

/// The band and the distances a row was fitted to.
struct StreetRange {
  double min_ghz, max_ghz, min_m, max_m;
};

/// Site-general loss with both ends below the roofs, or one end above them.
///
///   L = 10 alpha log10 d + beta + 10 gamma log10 f           [dB]
///     d  distance   distance_m   m     f  frequency   GHz
///
/// Source:   [P.1411] Tables 4 (below the roofs) and 8 (one end above), coefficients of editions 11
///           and 12, as printed in a regulator's implementation
/// Valid:    see street_general_range
/// Differs:  nothing; the draw of the spread, which never falls below free space, is the caller's
StreetGeneralLoss street_general_loss(Frequency f, double distance_m, StreetRow row) noexcept;
StreetRange street_general_range(StreetRow row) noexcept;

}  // namespace sim
