// A sector's antenna in the world.
#pragma once

#include <optional>

#include "sim/link/codebook.h"
#include "sim/scene/scene.h"

namespace sim {

/// Turns a world direction (true azimuth, elevation above the horizon) into the frame of a sector
/// that looks towards its azimuth and is tilted down as one piece.
AntennaDirection antenna_direction(const Sector& sector, Angle azimuth, Angle elevation);

/// The way back: where in the world the antenna's own direction points. Azimuth in [0, 360).
struct WorldDirection {
  Angle azimuth, elevation;
};
WorldDirection world_direction(const Sector& sector, AntennaDirection direction);

/// What a sector sends one way, relative to the peak of its pattern.
struct SectorGain {
  Db data;        ///< best beam for this direction, <= 0
  Db broadcast;   ///< best broadcast beam, relative to the data beam's peak
  Db others;      ///< mean over the beams that serve others: what interferes here
  int beam = -1;  ///< index in the codebook; -1 = the pattern has no beams
  WorldDirection beam_points;
};

/// Gain towards a world direction. `3gpp-element` is the envelope of a panel that steers: the
/// element's own fall-off (TR 38.901 7.3). `3gpp-array` adds the array: the best beam of its
/// codebook, with the element's loss of scanning. `isotropic` and tables are fixed patterns.
SectorGain gain_towards(const Sector& sector, Angle azimuth, Angle elevation,
                        const SectorBeams& beams);

/// Highest gain of a table.
double table_peak_dbi(const AntennaTable& table);

}  // namespace sim
