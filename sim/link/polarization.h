// How a sector's field stands.
#pragma once

#include <string>

#include "sim/base/units.h"

namespace sim {

/// Tilt of the field above the level: 90 degrees vertical, 0 horizontal, 45 slant.
Angle tilt_of(const std::string& polarization);

}  // namespace sim
