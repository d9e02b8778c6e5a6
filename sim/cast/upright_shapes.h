// Things with upright walls and a level top, told from their triangles: most of a street is such.
#pragma once

#include <span>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// A wall seen in plan. The walls of a thing make closed rings, so that every corner begins one.
struct PlanWall {
  double x0_m, y0_m, x1_m, y1_m;
};

/// Walls from `low_m` to `high_m`. No walls: the thing is of another shape.
struct UprightShape {
  std::span<const PlanWall> walls;
  double low_m = 0.0, high_m = 0.0;
};

class UprightShapes {
 public:
  explicit UprightShapes(const Scene& scene);

  /// Whether a thing is of such shape.
  bool has(ObstacleId id) const { return entries_[id].count > 0; }

  UprightShape of(ObstacleId id) const {
    const Entry& e = entries_[id];
    return {std::span(walls_).subspan(e.first, e.count), e.low_m, e.high_m};
  }

 private:
  struct Entry {
    std::size_t first = 0, count = 0;
    double low_m = 0.0, high_m = 0.0;
  };
  /// Appends the walls of one obstacle; false, and nothing appended, when its shape is another.
  bool append_walls(const TriangleMesh& mesh, const Obstacle& obstacle, Entry& entry);

  std::vector<PlanWall> walls_;
  std::vector<Entry> entries_;  ///< by obstacle
};

}  // namespace sim
