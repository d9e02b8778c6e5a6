// Numbers as text, the same on every machine.
#pragma once

#include <string>

namespace sim {

/// Fixed decimals; empty for NaN and infinity; never "-0.00".
std::string fixed(double value, int decimals);

}  // namespace sim
