// How far a thing on the path reaches beyond it, as seen along the path.
#pragma once

#include <vector>

#include "sim/cast/kernel.h"
#include "sim/cast/reaches.h"
#include "sim/cast/upright_shapes.h"
#include "sim/cast/wall_view.h"

namespace sim {

class Silhouettes {
 public:
  Silhouettes(const Scene& scene, const UprightShapes& shapes) : scene_(&scene), shapes_(&shapes) {}

  /// Fills the outline of a crossing: the obstacle cut by the vertical plane of the path (top and
  /// bottom) and by the plane level with the path across it (left and right). Of the ground, the
  /// profile under the path. Foliage keeps zeros: it has no edge.
  void measure(const PathAxes& axes, double length_m, Crossing& crossing) const;

  /// Of a thing that the path passes: its whole extent to either side; its top and bottom in the
  /// vertical plane of the path where that plane cuts it, else of the whole.
  Outline passing(const PathAxes& axes, double length_m, ObstacleId obstacle) const;

 private:
  const Scene* scene_;
  const UprightShapes* shapes_;
};

/// Adds one crossing per obstacle of the hits, which it sorts. Closed surfaces open and close; a
/// path that begins or ends inside counts from its end.
void merge_crossings(const Scene& scene, ScenePoint a, ScenePoint b, std::vector<Hit>& hits,
                     std::vector<Crossing>& crossings);

/// The crossing of a crown, by its exact ellipsoid; nullopt where the path passes it by.
std::optional<Crossing> crown_crossing(const Scene& scene, ScenePoint a, ScenePoint b,
                                       ObstacleId crown);

}  // namespace sim
