#include "sim/cast/silhouette.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/ground_line.h"

namespace sim {
namespace {

/// The path as axes: along (horizontal), left of it, and its height.
struct PathAxes {
  ScenePoint a, b, along, left;
  double level_m = 0.0;  ///< horizontal length

  PathAxes(ScenePoint from, ScenePoint to) : a(from), b(to) {
    level_m = std::max(horizontal_distance_m(from, to), 1e-9);
    along = {(to.x_m - from.x_m) / level_m, (to.y_m - from.y_m) / level_m, 0.0};
    left = {-along.y_m, along.x_m, 0.0};
  }
  double share(ScenePoint p) const { return dot(p - a, along) / level_m; }
  double aside(ScenePoint p) const { return dot(p - a, left); }
  double above(ScenePoint p) const { return p.z_m - (a.z_m + share(p) * (b.z_m - a.z_m)); }
};

/// h sqrt(1/d1 + 1/d2): what the Fresnel parameter v is proportional to.
double obstruction(double h_m, double share, double length_m) {
  const double s = std::clamp(share, 1e-6, 1.0 - 1e-6);
  return h_m * std::sqrt(1.0 / (s * length_m) + 1.0 / ((1.0 - s) * length_m));
}

/// The offset that obstructs most on one side, and where along the path it does.
struct Reach {
  double most = -1e300, offset_m = 0.0, at_m = 0.0;

  void consider(double offset, double share, double length_m) {
    const double v = obstruction(offset, share, length_m);
    if (v <= most) return;
    most = v;
    offset_m = offset;
    at_m = share * length_m;
  }
  bool found() const { return most > -1e300; }
  /// Leaves both as they are where nothing was considered.
  void fill(double& offset, double& at) const {
    if (!found()) return;
    offset = offset_m;
    at = at_m;
  }
};

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
  const double length_m = distance_m(a, b);
  Outline& outline = crossing.outline;
  Reach top;
  for (const GroundPoint& p : line) {
    if (p.share > 0.0 && p.share < 1.0) top.consider(p.above_m, p.share, length_m);
  }
  top.fill(outline.above_m, outline.above_at_m);
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

/// Top and bottom as seen along the path; left and right.
struct Reaches {
  Reach top, bottom, left, right;

  void upright(const PathAxes& axes, double length_m, ScenePoint p) {
    const double share = axes.share(p);
    if (share <= 0.0 || share >= 1.0) return;
    const double above = axes.above(p);
    top.consider(above, share, length_m);
    bottom.consider(-above, share, length_m);
  }
  void level(const PathAxes& axes, double length_m, ScenePoint p) {
    const double share = axes.share(p);
    if (share <= 0.0 || share >= 1.0) return;
    const double aside = axes.aside(p);
    left.consider(aside, share, length_m);
    right.consider(-aside, share, length_m);
  }
  Outline outline(double otherwise_at_m) const {
    Outline o{.above_at_m = otherwise_at_m,
              .below_at_m = otherwise_at_m,
              .left_at_m = otherwise_at_m,
              .right_at_m = otherwise_at_m};
    top.fill(o.above_m, o.above_at_m);
    bottom.fill(o.below_m, o.below_at_m);
    left.fill(o.left_m, o.left_at_m);
    right.fill(o.right_m, o.right_at_m);
    return o;
  }
};

}  // namespace

void Silhouettes::measure(ScenePoint a, ScenePoint b, Crossing& crossing) const {
  const Obstacle& obstacle = scene_->obstacles[crossing.obstacle];
  const double middle_m = 0.5 * (crossing.enter_m + crossing.exit_m);
  crossing.outline.above_at_m = middle_m;
  if (is_foliage(obstacle.kind)) return;
  if (obstacle.kind == ObstacleKind::ground) {
    measure_ground(*scene_, a, b, crossing);
    return;
  }
  const PathAxes axes(a, b);
  const double length_m = distance_m(a, b);
  Reaches reaches;
  each_triangle(*scene_, crossing.obstacle, [&](const std::array<ScenePoint, 3>& corners) {
    cut(
        corners, [&](ScenePoint p) { return axes.aside(p); },
        [&](ScenePoint p) { reaches.upright(axes, length_m, p); });
    cut(
        corners, [&](ScenePoint p) { return axes.above(p); },
        [&](ScenePoint p) { reaches.level(axes, length_m, p); });
  });
  // A thing that the path only touches is cut by neither plane: then its whole extent.
  const bool is_cut = reaches.top.found() && reaches.left.found();
  crossing.outline = is_cut ? reaches.outline(middle_m) : passing(a, b, crossing.obstacle);
}

Outline Silhouettes::passing(ScenePoint a, ScenePoint b, ObstacleId id) const {
  const PathAxes axes(a, b);
  const double length_m = distance_m(a, b);
  Reaches cut_by_plane, whole;
  each_triangle(*scene_, id, [&](const std::array<ScenePoint, 3>& corners) {
    for (const ScenePoint p : corners) {
      whole.upright(axes, length_m, p);
      whole.level(axes, length_m, p);
    }
    cut(
        corners, [&](ScenePoint p) { return axes.aside(p); },
        [&](ScenePoint p) { cut_by_plane.upright(axes, length_m, p); });
  });
  if (cut_by_plane.top.found()) {
    whole.top = cut_by_plane.top;
    whole.bottom = cut_by_plane.bottom;
  }
  return whole.outline(0.5 * length_m);
}

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

/// Chord of the ellipsoid on the path, as distances along it; nullopt when it passes by.
std::optional<std::pair<double, double>> crown_chord(const CrownShape& crown, ScenePoint a,
                                                     ScenePoint b, double length_m) {
  const double rx = crown.radius_m, rz = crown.half_height_m;
  const auto scaled = [&](ScenePoint v) { return ScenePoint{v.x_m / rx, v.y_m / rx, v.z_m / rz}; };
  const ScenePoint d = scaled(b - a), o = scaled(a - crown.center);
  const double qa = dot(d, d), qb = dot(o, d), qc = dot(o, o) - 1.0;
  const double discriminant = qb * qb - qa * qc;
  if (discriminant <= 0.0) return std::nullopt;
  const double root = std::sqrt(discriminant);
  const double from = std::clamp((-qb - root) / qa, 0.0, 1.0);
  const double to = std::clamp((-qb + root) / qa, 0.0, 1.0);
  if (to <= from) return std::nullopt;
  return std::pair(from * length_m, to * length_m);
}

}  // namespace

std::vector<Crossing> merge_crossings(const Scene& scene, ScenePoint a, ScenePoint b,
                                      std::vector<Hit> hits) {
  const double length = distance_m(a, b);
  std::sort(hits.begin(), hits.end(), [](const Hit& p, const Hit& q) {
    return std::tie(p.obstacle, p.along_m, p.entering, p.triangle) <
           std::tie(q.obstacle, q.along_m, q.entering, q.triangle);
  });
  std::vector<Crossing> crossings;
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
    if (const auto& crown = scene.obstacles[id].crown) {
      const auto chord = crown_chord(*crown, a, b, length);
      if (!chord) continue;
      crossing.enter_m = chord->first;
      crossing.exit_m = chord->second;
      crossing.inside_m = chord->second - chord->first;
    }
    crossings.push_back(crossing);
  }
  std::sort(crossings.begin(), crossings.end(), [](const Crossing& p, const Crossing& q) {
    return std::tie(p.enter_m, p.exit_m, p.obstacle) < std::tie(q.enter_m, q.exit_m, q.obstacle);
  });
  return crossings;
}

}  // namespace sim
