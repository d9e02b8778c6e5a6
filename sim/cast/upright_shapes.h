// Things with upright walls and a level top, told from their triangles: most of a street is such.
#pragma once

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// A wall seen in plan; outside is on its right.
struct PlanWall {
  double x0_m, y0_m, x1_m, y1_m;
};

/// Walls from `low_m` to `high_m`, by their corners in plan: of each ring a wall leads from every
/// corner to the next, and from the last to the first. No corners: the thing is of another shape.
struct UprightShape {
  std::span<const double> x_m, y_m;
  std::span<const std::uint32_t> ring_ends;  ///< index behind each ring's last corner
  double low_m = 0.0, high_m = 0.0;

  bool empty() const { return x_m.empty(); }

  /// Calls `use(i, k)` for the wall from corner i to corner k, ring by ring.
  template <class Use>
  void each_wall(Use use) const {
    std::uint32_t first = 0;
    for (const std::uint32_t end : ring_ends) {
      for (std::uint32_t i = first; i + 1 < end; ++i) use(i, i + 1);
      use(end - 1, first);
      first = end;
    }
  }
  PlanWall wall(std::uint32_t i, std::uint32_t k) const { return {x_m[i], y_m[i], x_m[k], y_m[k]}; }
};

class UprightShapes {
 public:
  explicit UprightShapes(const Scene& scene);

  /// Whether a thing is of such shape.
  bool has(ObstacleId id) const { return entries_[id].count > 0; }

  UprightShape of(ObstacleId id) const {
    const Entry& e = entries_[id];
    return {std::span(x_m_).subspan(e.first, e.count), std::span(y_m_).subspan(e.first, e.count),
            std::span(ring_ends_).subspan(e.first_ring, e.rings), e.low_m, e.high_m};
  }

  /// Of the thing that has most.
  std::size_t most_corners() const { return most_corners_; }

 private:
  struct Entry {
    std::size_t first = 0, first_ring = 0;
    std::uint32_t count = 0, rings = 0;
    double low_m = 0.0, high_m = 0.0;
  };
  /// Appends the rings that the walls make; false, with rubbish appended, when they do not close.
  bool append_rings(std::vector<PlanWall>& walls, Entry& entry);

  std::vector<double> x_m_, y_m_;
  std::vector<std::uint32_t> ring_ends_;
  std::vector<Entry> entries_;  ///< by obstacle
  std::size_t most_corners_ = 0;
};

}  // namespace sim
