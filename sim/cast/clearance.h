// How free the direct path is: distance to the nearest opaque surface, by the measure of the
// Fresnel zone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "sim/cast/plan_cells.h"
#include "sim/cast/ray_caster.h"

namespace sim {

/// Opaque triangles and things other than the ground, found by plan cell.
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
  static constexpr std::array searched_kinds{ObstacleKind::building, ObstacleKind::pole,
                                             ObstacleKind::trunk, ObstacleKind::vehicle,
                                             ObstacleKind::object};

  void gather_surfaces();
  void gather_things();

  struct Surface {
    ObstacleKind kind;
    std::uint32_t triangle;
  };
  void consider(const PathProfile& path, double wavelength_m, const Surface& surface,
                Clearance& best) const;

  const Scene* scene_;
  std::vector<Surface> surfaces_;
  PlanCells surface_cells_;
  struct Thing {
    ObstacleId id;
    KindMask kind = 0;
    ScenePoint low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  };
  std::vector<Thing> things_;
  PlanCells thing_cells_;
};

}  // namespace sim
