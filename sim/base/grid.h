// Regular grids of numbers on the map.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "sim/base/points.h"

namespace sim {

/// A north-up grid in the site CRS. Row 0 is the northernmost; (west_m, north_m) is the outer
/// corner of the first cell, as in a geotransform; values stand at cell centres.
struct GridSpec {
  double west_m = 0.0, north_m = 0.0;
  double cell_x_m = 1.0, cell_y_m = 1.0;
  int cols = 0, rows = 0;

  std::size_t size() const {
    return static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows);
  }
  std::size_t index(int col, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
           static_cast<std::size_t>(col);
  }
  double center_x_m(int col) const { return west_m + (col + 0.5) * cell_x_m; }
  double center_y_m(int row) const { return north_m - (row + 0.5) * cell_y_m; }
  bool operator==(const GridSpec&) const = default;
};

/// Heights at cell centres (elevation in metres, NaN = no data).
struct HeightGrid {
  GridSpec spec;
  std::vector<float> values;

  /// Linear on the same two triangles per square as the terrain
  /// mesh: the diagonal runs from the south-west to the north-east centre. NaN outside the
  /// rectangle of outermost centres or next to a cell without data.
  double sample(double x_m, double y_m) const;
  bool empty() const { return values.empty(); }
};

/// One named band of results on a grid; NaN = no answer.
struct Band {
  std::string name;  ///< with its unit, as the contract names it
  std::vector<float> values;
};

}  // namespace sim
