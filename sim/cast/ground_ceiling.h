// How high the ground reaches, coarsely: where a path surely stays above it no ray is needed.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

class GroundCeiling {
 public:
  explicit GroundCeiling(const Scene& scene);

  /// A part of a path, as shares of its length.
  struct Part {
    double from = 0.0, to = 1.0;
  };
  /// The part outside which the path from a to b surely runs above the ground; nullopt when all of
  /// it does.
  std::optional<Part> part_near(ScenePoint a, ScenePoint b) const;

 private:
  double west_m_ = 0.0, south_m_ = 0.0, cell_m_ = 8.0;
  int cols_ = 0, rows_ = 0;
  double highest_m_ = -1e300;
  std::vector<float> ceiling_m_;  ///< per cell, rows from the south; over all ground in it
};

}  // namespace sim
