#include <algorithm>
#include <cmath>

#include "sim/cast/silhouette.h"

namespace sim {
namespace {

constexpr double same_place_m = 1e-6;  // hits nearer than this through a shared edge are one

/// Whether a vertical line through p meets the triangle, seen in plan, by the half-open rule: a
/// line through a shared edge meets one of its two triangles.
bool covers(const std::array<ScenePoint, 3>& corners, ScenePoint p) {
  bool inside = false;
  for (std::size_t i = 0; i < 3; ++i) {
    const ScenePoint q = corners[i], r = corners[(i + 1) % 3];
    if ((q.y_m > p.y_m) == (r.y_m > p.y_m)) continue;
    if (p.x_m < q.x_m + (p.y_m - q.y_m) / (r.y_m - q.y_m) * (r.x_m - q.x_m)) inside = !inside;
  }
  return inside;
}

/// Inside a closed surface: an odd number of its triangles lies above. Courtyards are outside.
bool begins_inside(const Scene& scene, ObstacleId id, ScenePoint p) {
  const Obstacle& obstacle = scene.obstacles[id];
  if (obstacle.kind == ObstacleKind::ground) {
    return p.z_m < scene.ground.height_at(p.x_m, p.y_m);
  }
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  bool inside = false;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    const auto& index = mesh.triangles[obstacle.first_triangle + t];
    const std::array<ScenePoint, 3> corners{mesh.vertices[index[0]], mesh.vertices[index[1]],
                                            mesh.vertices[index[2]]};
    if (!covers(corners, p)) continue;
    const ScenePoint normal = cross(corners[1] - corners[0], corners[2] - corners[0]);
    // Height of the plane over p: n . (p + h z - c) = 0.
    const double height = dot(normal, corners[0] - p) / normal.z_m;
    if (height > 0.0) inside = !inside;
  }
  return inside;
}

}  // namespace

std::optional<Crossing> crown_crossing(const Scene& scene, ScenePoint a, ScenePoint b,
                                       ObstacleId id) {
  const CrownShape& crown = *scene.obstacles[id].crown;
  const double rx = crown.radius_m, rz = crown.half_height_m;
  const auto scaled = [&](ScenePoint v) { return ScenePoint{v.x_m / rx, v.y_m / rx, v.z_m / rz}; };
  const ScenePoint d = scaled(b - a), o = scaled(a - crown.center);
  const double qa = dot(d, d), qb = dot(o, d), qc = dot(o, o) - 1.0;
  const double discriminant = qb * qb - qa * qc;
  if (discriminant <= 0.0) return std::nullopt;
  const double root = std::sqrt(discriminant), length_m = distance_m(a, b);
  const double from = std::clamp((-qb - root) / qa, 0.0, 1.0);
  const double to = std::clamp((-qb + root) / qa, 0.0, 1.0);
  if (to <= from) return std::nullopt;
  const double enter_m = from * length_m, exit_m = to * length_m;
  return Crossing{.obstacle = id,
                  .enter_m = enter_m,
                  .exit_m = exit_m,
                  .inside_m = exit_m - enter_m,
                  .outline = {.above_at_m = 0.5 * (enter_m + exit_m)}};
}

void merge_crossings(const Scene& scene, ScenePoint a, ScenePoint b, std::vector<Hit>& hits,
                     std::vector<Crossing>& crossings) {
  const double length = distance_m(a, b);
  std::sort(hits.begin(), hits.end(), [](const Hit& p, const Hit& q) {
    return std::tie(p.obstacle, p.along_m, p.entering, p.triangle) <
           std::tie(q.obstacle, q.along_m, q.entering, q.triangle);
  });
  for (std::size_t i = 0; i < hits.size();) {
    const ObstacleId id = hits[i].obstacle;
    Crossing crossing{.obstacle = id, .enter_m = length, .exit_m = 0.0};
    const auto cover = [&](double from, double to) {
      crossing.enter_m = std::min(crossing.enter_m, from);
      crossing.exit_m = std::max(crossing.exit_m, to);
      crossing.inside_m += to - from;
    };
    int depth = 0;
    double opened = 0.0;
    std::size_t end = i;
    for (; end < hits.size() && hits[end].obstacle == id; ++end) {
      const Hit& hit = hits[end];
      const double along = std::clamp(hit.along_m, 0.0, length);
      if (end > i && hits[end - 1].entering == hit.entering &&
          hit.along_m - hits[end - 1].along_m < same_place_m) {
        continue;
      }
      if (hit.entering) {
        if (depth++ == 0) opened = along;
      } else if (depth > 0) {
        if (--depth == 0) cover(opened, along);
      } else {
        cover(begins_inside(scene, id, a) ? 0.0 : along, along);
      }
    }
    if (depth > 0) cover(opened, begins_inside(scene, id, b) ? length : opened);
    i = end;
    crossings.push_back(crossing);
  }
}

}  // namespace sim
