#include "sim/cast/silhouette.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/ground_line.h"
#include "sim/cast/wall_view.h"

namespace sim {
namespace {

/// Calls `each` with both points where a triangle crosses the plane on which `value` is zero.
template <class Value, class Each>
void cut(const std::array<ScenePoint, 3>& corners, Value value, Each each) {
  const std::array<double, 3> v{value(corners[0]), value(corners[1]), value(corners[2])};
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t j = (i + 1) % 3;
    if ((v[i] < 0.0) == (v[j] < 0.0)) continue;
    each(corners[i] + (v[i] / (v[i] - v[j])) * (corners[j] - corners[i]));
  }
}

void measure_ground(const Scene& scene, ScenePoint a, ScenePoint b, Crossing& crossing) {
  thread_local std::vector<GroundPoint> line;
  ground_line(scene.ground, a, b, line);
  Outline& outline = crossing.outline;
  Reach top;
  for (const GroundPoint& p : line) {
    if (p.share > 0.0 && p.share < 1.0) top.consider(p.above_m, p.share);
  }
  top.fill(outline.above_m, outline.above_at_m, distance_m(a, b));
  if (line.empty() || outline.above_m <= 0.0) {
    // Only the ends of the path lie in the ground: the depth there.
    outline.above_at_m = 0.5 * (crossing.enter_m + crossing.exit_m);
    outline.above_m = std::max(outline.above_m, 0.0);
  }
  outline.left_m = outline.right_m = outline.below_m = std::numeric_limits<double>::infinity();
  outline.left_at_m = outline.right_at_m = outline.below_at_m = outline.above_at_m;
}

/// Calls `each` for every triangle of an obstacle, with its corners.
template <class Each>
void each_triangle(const Scene& scene, ObstacleId id, Each each) {
  const Obstacle& obstacle = scene.obstacles[id];
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    const auto& index = mesh.triangles[obstacle.first_triangle + t];
    each(std::array<ScenePoint, 3>{mesh.vertices[index[0]], mesh.vertices[index[1]],
                                   mesh.vertices[index[2]]});
  }
}

/// By the vertical plane of the path, and by the plane level with the path across it.
Reaches cut_triangles(const Scene& scene, const PathAxes& axes, ObstacleId id) {
  Reaches reaches;
  each_triangle(scene, id, [&](const std::array<ScenePoint, 3>& corners) {
    cut(
        corners, [&](ScenePoint p) { return axes.aside(p); },
        [&](ScenePoint p) { reaches.upright(axes.above(p), axes.share(p)); });
    cut(
        corners, [&](ScenePoint p) { return axes.above(p); },
        [&](ScenePoint p) { reaches.level(axes.aside(p), axes.share(p)); });
  });
  return reaches;
}

/// To either side all of it; top and bottom where the vertical plane cuts it, else of all of it.
Reaches whole_of_triangles(const Scene& scene, const PathAxes& axes, ObstacleId id) {
  Reaches in_plane, whole;
  each_triangle(scene, id, [&](const std::array<ScenePoint, 3>& corners) {
    for (const ScenePoint p : corners) {
      whole.upright(axes.above(p), axes.share(p));
      whole.level(axes.aside(p), axes.share(p));
    }
    cut(
        corners, [&](ScenePoint p) { return axes.aside(p); },
        [&](ScenePoint p) { in_plane.upright(axes.above(p), axes.share(p)); });
  });
  if (in_plane.top.found()) {
    whole.top = in_plane.top;
    whole.bottom = in_plane.bottom;
  }
  return whole;
}

}  // namespace

void Silhouettes::measure(const PathAxes& axes, double length_m, Crossing& crossing) const {
  const Obstacle& obstacle = scene_->obstacles[crossing.obstacle];
  const double middle_m = 0.5 * (crossing.enter_m + crossing.exit_m);
  crossing.outline.above_at_m = middle_m;
  if (is_foliage(obstacle.kind)) return;
  if (obstacle.kind == ObstacleKind::ground) {
    measure_ground(*scene_, axes.a, axes.b, crossing);
    return;
  }
  const UprightShape shape = shapes_->of(crossing.obstacle);
  thread_local WallRoom room;
  const Reaches reaches = shape.empty() ? cut_triangles(*scene_, axes, crossing.obstacle)
                                        : WallView(axes, shape, room).cut();
  // A thing that the path only touches is cut by neither plane: then its whole extent.
  const bool is_cut = reaches.top.found() && reaches.left.found();
  crossing.outline =
      is_cut ? reaches.outline(middle_m, length_m) : passing(axes, length_m, crossing.obstacle);
}

Outline Silhouettes::passing(const PathAxes& axes, double length_m, ObstacleId id) const {
  const UprightShape shape = shapes_->of(id);
  thread_local WallRoom room;
  const Reaches whole =
      shape.empty() ? whole_of_triangles(*scene_, axes, id) : WallView(axes, shape, room).whole();
  return whole.outline(0.5 * length_m, length_m);
}

}  // namespace sim
