// The things that a path may meet or come near, found by plan cell.
#pragma once

#include <vector>

#include "sim/cast/plan_cells.h"
#include "sim/cast/ray_caster.h"

namespace sim {

struct NearThing {
  ObstacleId id = no_obstacle;
  ObstacleKind kind = ObstacleKind::object;
  bool in_zone = false;  ///< opaque, and its box reaches into `corridor_radii` of the zone there
  double off_m = 0.0;    ///< at least how far its box is from the path, aside or above or below
  double from_m = 0.0, to_m = 0.0;  ///< level distances between which its box stands
};

/// Every thing but the ground, by the box about it.
class NearbyThings {
 public:
  explicit NearbyThings(const Scene& scene);

  /// Surfaces farther than this many first-zone radii do not disturb the wave.
  static constexpr double corridor_radii = 2.0;

  /// The things whose boxes the path meets, or comes nearer to than `corridor_radii` at the middle
  /// of the path, and some others, in no order. Wavelength 0 = only what it meets.
  void find(ScenePoint a, ScenePoint b, double wavelength_m, const Transparent& through,
            std::vector<NearThing>& near) const;

 private:
  struct Thing {
    double middle_x_m, middle_y_m, half_x_m, half_y_m;  ///< of its box in plan
    double low_m, high_m;
    ObstacleId id;
    ObstacleKind kind;
  };
  std::vector<Thing> things_;
  PlanCells cells_;
};

}  // namespace sim
