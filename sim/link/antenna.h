// A sector's antenna in the world.
#pragma once

#include "sim/scene/scene.h"

namespace sim {

/// A direction as the antenna sees it.
struct AntennaDirection {
  Angle azimuth;    ///< from boresight, positive clockwise (to the right)
  Angle elevation;  ///< from boresight, positive up
};

/// Turns a world direction (true azimuth, elevation above the horizon) into the frame of a sector
/// that looks towards its azimuth and is tilted down as one piece.
AntennaDirection antenna_direction(const Sector& sector, Angle azimuth, Angle elevation);

/// Gain towards a world direction relative to the peak of the pattern, <= 0 dB: 3gpp-element and
/// 3gpp-array of TR 38.901 7.3, isotropic, or a table (bilinear between its rows).
Db relative_gain(const Sector& sector, Angle azimuth, Angle elevation, const Defaults& defaults);

/// Highest gain of a table.
double table_peak_dbi(const AntennaTable& table);

}  // namespace sim
