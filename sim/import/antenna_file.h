// Antenna patterns as files.
#pragma once

#include <string>

#include "sim/base/antenna.h"

namespace sim {

/// Reads a pattern in one of two forms, angles in degrees from boresight, azimuth positive to the
/// right, elevation positive up:
///
///   azimuth_deg,elevation_deg,gain_dbi   every direction of a full grid
///   cut,angle_deg,gain_dbi               two cuts, `cut` = azimuth or elevation, joined by
///
///     G(azimuth, elevation) = peak - min(A_H(azimuth) + A_V(elevation), A_max)
///
/// where A_H and A_V are how far each cut lies below its own peak, and A_max the deeper of the two
/// (TR 38.901 Table 7.3-1 joins its cuts so, with A_max = 30 dB). Throws InputError naming file and
/// row for a direction given twice, a grid with holes, a cut that is missing or unknown, an angle
/// outside its range, and cuts whose peaks differ by more than 1 dB.
AntennaTable read_antenna(const std::string& path);

}  // namespace sim
