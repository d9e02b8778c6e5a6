// How far a thing on the path reaches beyond it, as seen along the path.
#pragma once

#include <vector>

#include "sim/cast/kernel.h"

namespace sim {

class Silhouettes {
 public:
  explicit Silhouettes(const Scene& scene) : scene_(&scene) {}

  /// Fills at_m, above_m, below_m, left_m and right_m of a crossing: the outline of the obstacle in
  /// the vertical plane of the path (top and bottom) and in the plane level with the path across it
  /// (left and right). Of the ground, the profile under the path. Foliage keeps zeros: it has no
  /// edge.
  void measure(const PathProfile& path, Crossing& crossing) const;

 private:
  const Scene* scene_;
};

/// Sorted hits to one crossing per obstacle, ordered along the path. Closed surfaces open and
/// close; a path that begins or ends inside counts from its end. Crowns by their exact ellipsoid.
std::vector<Crossing> merge_crossings(const Scene& scene, ScenePoint a, ScenePoint b,
                                      std::vector<Hit> hits);

}  // namespace sim
