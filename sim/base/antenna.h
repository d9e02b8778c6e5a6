// A measured or computed antenna pattern as a table.
#pragma once

#include <string>
#include <vector>

namespace sim {

/// Gain on a full grid of directions from boresight: azimuth positive to the right within +-180,
/// elevation positive up, degrees; gain in dBi. Rows sorted by azimuth, then elevation; the
/// outermost columns stand again a full turn away.
struct AntennaTable {
  struct Row {
    double azimuth_deg = 0.0, elevation_deg = 0.0, gain_dbi = 0.0;
  };
  std::string path;
  std::vector<Row> points;
  std::vector<double> azimuths_deg, elevations_deg;  ///< the two axes, ascending
  double peak_dbi = 0.0;                             ///< the highest gain
};

}  // namespace sim
