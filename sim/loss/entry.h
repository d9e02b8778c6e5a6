// Getting into a car or a building.
#pragma once

#include "sim/base/units.h"

namespace sim {

struct EntryLoss {
  Db loss;   ///< median
  Db sigma;  ///< standard deviation of the normal spread in dB
};

/// Median 9 dB, or 20 dB behind metallised windows; sigma 5 dB.
/// Source:   [TR38.901] section 7.4.3.2
/// Valid:    0.6-60 GHz
/// Differs:  nothing
EntryLoss vehicle_entry_loss(bool metallised_windows) noexcept;

/// One pane of standard multi-pane glass: 2 + 0.2 f dB, f in GHz.
/// Source:   [TR38.901] Table 7.4.3-1
/// Valid:    0.5-100 GHz (scope of the document)
/// Differs:  nothing
Db glass_loss(Frequency f) noexcept;

/// Coated (infrared-reflecting) glass: 25.4 + 0.11 f dB since release 19, 23 + 0.3 f before.
/// Source:   [TR38.901] Table 7.4.3-1; the older row from memory
/// Valid:    0.5-100 GHz
/// Differs:  nothing
Db coated_glass_loss(Frequency f, int release) noexcept;

/// Outer wall of glass and concrete, low-loss or high-loss.
///
///   low   5 - 10 log10(0.3 10^(-L_glass/10) + 0.7 10^(-L_concrete/10)),  sigma 4.4
///   high  5 - 10 log10(0.7 10^(-L_coated/10) + 0.3 10^(-L_concrete/10)), sigma 6.5
///
/// Source:   [TR38.901] Table 7.4.3-2
/// Valid:    0.5-100 GHz
/// Differs:  nothing; the depth indoors is not included
EntryLoss facade_entry_loss(Frequency f, bool high_loss, int release) noexcept;

}  // namespace sim
