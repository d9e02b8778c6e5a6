// Waypoints and a track for GPS devices.
#pragma once

#include <string>
#include <vector>

#include "sim/gis/vector_file.h"

namespace sim {

struct Waypoint {
  Coordinate at;  ///< degrees WGS 84; z = elevation, NaN = not known
  std::string name, description, kind;
};
struct GpxRoute {
  std::vector<Waypoint> waypoints;
  std::string track_name;
  CoordinateList track;  ///< degrees WGS 84; z = elevation
};

/// GPX 1.1: waypoints before the track, as its schema wants them. The same bytes each time. Throws
/// InputError when the file cannot be written.
void write_gpx(const std::string& path, const GpxRoute& route);

}  // namespace sim
