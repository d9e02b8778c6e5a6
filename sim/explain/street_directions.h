// Which way the street runs at a place.
#pragma once

#include <optional>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// A direction in plan, of length 1.
struct PlanDirection {
  double east = 1.0, north = 0.0;
};

/// From the nearest centre line or house wall; things in a street mostly stand along it.
class StreetDirections {
 public:
  /// Those within the box only, and as far around it as they count.
  StreetDirections(const Scene& scene, double west_m, double south_m, double east_m,
                   double north_m);

  /// nullopt where no line or wall is near.
  std::optional<PlanDirection> at(double x_m, double y_m) const;

 private:
  struct Line {
    ScenePoint from, to;
  };
  std::vector<Line> lines_;
};

}  // namespace sim
