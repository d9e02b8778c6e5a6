// How free the direct path is: distance to the nearest opaque surface, by the measure of the
// Fresnel zone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "sim/cast/ray_caster.h"

namespace sim {

/// Opaque triangles other than the ground, found by plan cell.
class NearbySurfaces {
 public:
  explicit NearbySurfaces(const Scene& scene);

  /// Of a path whose crossings are known. Blocked: minus the least of how far the deciding thing
  /// reaches above, left and right. Free: distance to the surface that is nearest in first-zone
  /// radii, searched to `corridor_radii` of them; the ground by its height under the path.
  Clearance clearance(const PathProfile& path, double wavelength_m,
                      const Transparent& through) const;

  /// The things (not the ground) whose boxes come within `corridor_radii` of the path, in the order
  /// of their ids.
  void things_near(const PathProfile& path, double wavelength_m, const Transparent& through,
                   std::vector<ObstacleId>& things) const;

  /// Surfaces farther than this many first-zone radii do not disturb the wave.
  static constexpr double corridor_radii = 2.0;

 private:
  static constexpr double cell_m = 4.0;
  static constexpr std::array searched_kinds{ObstacleKind::building, ObstacleKind::pole,
                                             ObstacleKind::trunk, ObstacleKind::vehicle,
                                             ObstacleKind::object};

  void gather_things();

  struct Surface {
    ObstacleKind kind;
    std::uint32_t triangle;
  };
  /// Calls `use(cell)` for every cell within `reach_m` of the path in plan.
  template <class Use>
  void each_cell_near(const PathProfile& path, double reach_m, Use use) const;
  void consider(const PathProfile& path, double wavelength_m, const Surface& surface,
                Clearance& best) const;

  std::size_t cell_index(int col, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(cols_) +
           static_cast<std::size_t>(col);
  }

  const Scene* scene_;
  double west_m_ = 0.0, south_m_ = 0.0;
  int cols_ = 0, rows_ = 0;
  std::vector<std::uint32_t> first_;  ///< per cell, into surfaces_; one more at the end
  std::vector<Surface> surfaces_;
  struct Box {
    ScenePoint low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  };
  std::vector<Box> boxes_;                  ///< by obstacle
  std::vector<std::uint32_t> thing_first_;  ///< per cell, into things_; one more at the end
  std::vector<ObstacleId> things_;
};

template <class Use>
void NearbySurfaces::each_cell_near(const PathProfile& path, double reach, Use use) const {
  const double x0 = path.a.x_m - west_m_, y0 = path.a.y_m - south_m_;
  const double dx = path.b.x_m - path.a.x_m, dy = path.b.y_m - path.a.y_m;
  const int r0 =
      std::max(0, static_cast<int>(std::floor((std::min(y0, y0 + dy) - reach) / cell_m)));
  const int r1 =
      std::min(rows_ - 1, static_cast<int>(std::floor((std::max(y0, y0 + dy) + reach) / cell_m)));
  for (int r = r0; r <= r1; ++r) {
    // Share of the path whose y lies within this row, widened by the reach.
    double t0 = 0.0, t1 = 1.0;
    if (std::abs(dy) > 1e-9) {
      const double u = (r * cell_m - reach - y0) / dy, v = ((r + 1) * cell_m + reach - y0) / dy;
      t0 = std::clamp(std::min(u, v), 0.0, 1.0);
      t1 = std::clamp(std::max(u, v), 0.0, 1.0);
    }
    const double xa = x0 + t0 * dx, xb = x0 + t1 * dx;
    const int c0 = std::max(0, static_cast<int>(std::floor((std::min(xa, xb) - reach) / cell_m)));
    const int c1 =
        std::min(cols_ - 1, static_cast<int>(std::floor((std::max(xa, xb) + reach) / cell_m)));
    for (int c = c0; c <= c1; ++c) use(cell_index(c, r));
  }
}

}  // namespace sim
