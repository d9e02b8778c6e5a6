// Oxygen at 60 GHz as the channel model tabulates it.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Oxygen loss of a table of whole gigahertz; gas.h has it line by line.
///
///   0 up to 52 GHz and from 68 GHz on; between, linear from one whole GHz to the next   [dB/km]
///
/// Source:   [TR38.901] Table 7.6.1-1; that it is linear between the rows, from memory
/// Valid:    up to 100 GHz
/// Differs:  nothing
double oxygen_table_db_per_km(Frequency f) noexcept;

}  // namespace sim
