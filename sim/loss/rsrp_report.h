// How a terminal reports its level.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Index of a reported reference signal level, as measured at layer 3.
///
///   0 below -156 dBm;  n for n - 157 <= level < n - 156;  126 from -31 dBm on
///
/// Source:   [TS38.133] section 10.1.6
/// Valid:    -156..-31 dBm in steps of 1 dB
/// Differs:  127 (infinity) is not a level and never comes out; a threshold in [TS38.331] is
///           index - 156, one step apart (from memory)
int rsrp_report_index(Dbm level) noexcept;

/// The same at layer 1: 16 below -140 dBm, 113 from -44 dBm on.
/// Source:   [TS38.133] section 10.1.6
/// Valid:    -140..-44 dBm in steps of 1 dB
/// Differs:  nothing
int rsrp_report_index_layer_1(Dbm level) noexcept;

}  // namespace sim
