// Numbers in sentences, with no more figures than they are good for.
#pragma once

#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// A rate in Mbit/s to two figures, for no rate is predicted better: "600", "89", "1200".
std::string rate_text(double mbps);

constexpr double least_heard_dbm = -140.0;  ///< common practice, no source
/// "-93 dBm", or "below -140 dBm", where no phone hears anything.
std::string level_text(double dbm);

/// "41 m", or "41 m (135 ft)": whole metres, for what is no better known.
std::string whole_length_text(double metres, LengthUnits units);

}  // namespace sim
