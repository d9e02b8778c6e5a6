#include "sim/cast/clearance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "sim/cast/ground_line.h"

namespace sim {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double least_radius_m = 1e-6;  // of the first zone, at an end of the path

double radius_at(double wavelength_m, double s_m, double length_m) {
  return std::max(fresnel_radius_m(wavelength_m, s_m, length_m - s_m), least_radius_m);
}

/// Squared distance from p to the triangle. The nearest of face, edges and corners by the regions
/// of Ericson, Real-Time Collision Detection (2005), 5.1.5; from memory.
double squared_distance(ScenePoint p, ScenePoint a, ScenePoint b, ScenePoint c) {
  const ScenePoint ab = b - a, ac = c - a, ap = p - a;
  const double d1 = dot(ab, ap), d2 = dot(ac, ap);
  const auto to = [&](ScenePoint q) { return dot(p - q, p - q); };
  if (d1 <= 0.0 && d2 <= 0.0) return to(a);
  const ScenePoint bp = p - b;
  const double d3 = dot(ab, bp), d4 = dot(ac, bp);
  if (d3 >= 0.0 && d4 <= d3) return to(b);
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0) return to(a + (d1 / (d1 - d3)) * ab);
  const ScenePoint cp = p - c;
  const double d5 = dot(ab, cp), d6 = dot(ac, cp);
  if (d6 >= 0.0 && d5 <= d6) return to(c);
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0) return to(a + (d2 / (d2 - d6)) * ac);
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0.0 && (d4 - d3) >= 0.0 && (d5 - d6) >= 0.0) {
    return to(b + ((d4 - d3) / ((d4 - d3) + (d5 - d6))) * (c - b));
  }
  const double sum = va + vb + vc;
  return to(a + (vb / sum) * ab + (vc / sum) * ac);
}

/// The surface that is nearest in first-zone radii, of all that were looked at.
class Search {
 public:
  Search(double length_m, double wavelength_m)
      : length_m_(length_m),
        wavelength_m_(wavelength_m),
        widest_m_(fresnel_radius_m(wavelength_m, 0.5 * length_m, 0.5 * length_m)) {}

  Clearance best{
      .clearance_m = infinite, .fresnel_radii = infinite, .at_m = 0.0, .nearest = no_obstacle};

  /// What is farther than this need not be looked at.
  double reach_m() const {
    return std::min(NearbyThings::corridor_radii, best.fresnel_radii) * widest_m_;
  }
  void take(double distance_m, double radii, double at_m, ObstacleId id) {
    if (radii < best.fresnel_radii) best = {distance_m, radii, at_m, id};
  }
  /// Takes the surface whose distance from a place of a part of the path is `distance`. Over the
  /// radius it is smooth along the part: even steps, then narrowing down.
  struct Part {
    double from_m, to_m;
  };
  template <class Distance>
  void look(Part part, ObstacleId id, Distance distance) {
    double step = std::max((part.to_m - part.from_m) / 8.0, 1e-6);
    double at = part.from_m, least = 1e300, least_distance = 0.0;
    const auto try_at = [&](double s) {
      const double d = distance(s), radius = fresnel_radius_m(wavelength_m_, s, length_m_ - s);
      const double radii = radius > 0.0 ? d / radius : infinite;
      if (radii >= least) return;
      least = radii;
      at = s;
      least_distance = d;
    };
    for (int n = 0; n <= 8; ++n) try_at(std::min(part.from_m + n * step, part.to_m));
    for (; step > 0.001; step *= 0.5) {
      const double middle = at;
      for (const double s : {middle - 0.5 * step, middle + 0.5 * step}) {
        if (s >= part.from_m && s <= part.to_m) try_at(s);
      }
    }
    take(least_distance, least, at, id);
  }

 private:
  double length_m_, wavelength_m_, widest_m_;
};

/// Looks at a triangle where it is near.
void consider(const PathProfile& path, const TriangleMesh& mesh, std::uint32_t triangle,
              Search& search) {
  const auto& [i, j, k] = mesh.triangles[triangle];
  const ScenePoint a = mesh.vertices[i], b = mesh.vertices[j], c = mesh.vertices[k];
  const double length = path.length_m, reach = search.reach_m();
  const ScenePoint direction = (1.0 / length) * (path.b - path.a);
  // Part of the path that the triangle lies beside, and whether it lies near at all.
  double from = 1e300, to = -1e300;
  ScenePoint low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  for (const ScenePoint v : {a, b, c}) {
    const double s = dot(v - path.a, direction);
    from = std::min(from, s);
    to = std::max(to, s);
    low = {std::min(low.x_m, v.x_m), std::min(low.y_m, v.y_m), std::min(low.z_m, v.z_m)};
    high = {std::max(high.x_m, v.x_m), std::max(high.y_m, v.y_m), std::max(high.z_m, v.z_m)};
  }
  from = std::clamp(from - reach, 0.0, length);
  to = std::clamp(to + reach, 0.0, length);
  if (from >= to) return;
  const ScenePoint p = path.a + from * direction, q = path.a + to * direction;
  if (std::max(p.z_m, q.z_m) < low.z_m - reach || std::min(p.z_m, q.z_m) > high.z_m + reach ||
      std::max(p.x_m, q.x_m) < low.x_m - reach || std::min(p.x_m, q.x_m) > high.x_m + reach ||
      std::max(p.y_m, q.y_m) < low.y_m - reach || std::min(p.y_m, q.y_m) > high.y_m + reach) {
    return;
  }
  const ScenePoint normal = cross(b - a, c - a);
  const double size = std::sqrt(dot(normal, normal));
  if (size > 0.0) {
    const double at_p = dot(normal, p - a) / size, at_q = dot(normal, q - a) / size;
    if (at_p * at_q > 0.0 && std::min(std::abs(at_p), std::abs(at_q)) > reach) return;
  }
  search.look({from, to}, mesh.obstacle_of_triangle[triangle], [&](double s) {
    return std::sqrt(squared_distance(path.a + s * direction, a, b, c));
  });
}

/// The same of a thing's walls, and of its roof and floor where the path runs over or under it.
void consider_walls(const PathProfile& path, const PathAxes& axes, const UprightShape& shape,
                    ObstacleId id, WallRoom& room, Search& search) {
  const WallView view(axes, shape, room);
  const double length = path.length_m, level = axes.level_m;
  const double rise = (path.b.z_m - path.a.z_m) / length;
  const double reach = search.reach_m(), pad = reach * length / level;
  const auto upright_off = [&](double s) {
    const double z = path.a.z_m + s * rise;
    return std::max({0.0, z - shape.high_m, shape.low_m - z});
  };
  shape.each_wall([&](std::uint32_t i, std::uint32_t k) {
    const double p_aside = room.aside_m[i], q_aside = room.aside_m[k];
    if (p_aside * q_aside > 0.0 && std::min(std::abs(p_aside), std::abs(q_aside)) > reach) return;
    const double p = room.share[i] * level, q = room.share[k] * level;
    const double from = std::clamp(std::min(p, q) * length / level - pad, 0.0, length),
                 to = std::clamp(std::max(p, q) * length / level + pad, 0.0, length);
    if (from >= to || std::min(upright_off(from), upright_off(to)) > reach) return;
    const double along = q - p, across = q_aside - p_aside;
    const double square = std::max(along * along + across * across, 1e-18);
    search.look({from, to}, id, [&](double s) {
      const double at = s * level / length;
      const double t = std::clamp(((at - p) * along - p_aside * across) / square, 0.0, 1.0);
      const double dx = p + t * along - at, dy = p_aside + t * across, dz = upright_off(s);
      return std::sqrt(dx * dx + dy * dy + dz * dz);
    });
  });
  view.each_stretch([&](double from_share, double to_share) {
    const double from = std::clamp(from_share, 0.0, 1.0) * length,
                 to = std::clamp(to_share, 0.0, 1.0) * length;
    if (from < to && std::min(upright_off(from), upright_off(to)) <= reach) {
      search.look({from, to}, id, upright_off);
    }
  });
}

/// Of the thing that obstructs most; nullopt where the path is not blocked. By squares of depth
/// over radius: the roots wait for the one that decides.
std::optional<Clearance> blocked_clearance(const Scene& scene, const PathProfile& path,
                                           double wavelength_m, const Transparent& through) {
  const double length = path.length_m, per_length = wavelength_m / length;
  const auto square_at = [&](double s) {
    return std::max(per_length * s * (length - s), least_radius_m * least_radius_m);
  };
  struct Way {
    double depth_m, at_m, square;  ///< of depth over the first zone's radius
  };
  const Crossing* worst = nullptr;
  Way deciding{0.0, 0.0, -1.0};
  for (const Crossing& c : path.crossings) {
    const ObstacleKind kind = scene.obstacles[c.obstacle].kind;
    if (is_foliage(kind) || (mask_of(kind) & through.blocking) == 0) continue;
    // The way round that is nearest in first-zone radii: over, left or right.
    const auto way = [&](double offset_m, double at_m) {
      const double depth_m = std::max(0.0, offset_m);
      return Way{depth_m, at_m, depth_m * depth_m / square_at(at_m)};
    };
    Way nearest = way(c.outline.above_m, c.outline.above_at_m);
    for (const Way& side : {way(c.outline.left_m, c.outline.left_at_m),
                            way(c.outline.right_m, c.outline.right_at_m)}) {
      if (side.square < nearest.square) nearest = side;
    }
    if (nearest.square > deciding.square) {
      deciding = nearest;
      worst = &c;
    }
  }
  if (worst == nullptr) return std::nullopt;
  return Clearance{
      .clearance_m = -deciding.depth_m,
      .fresnel_radii = -deciding.depth_m / radius_at(wavelength_m, deciding.at_m, length),
      .at_m = deciding.at_m,
      .nearest = worst->obstacle};
}

}  // namespace

Clearance clearance_of(const Scene& scene, const UprightShapes& shapes, const PathProfile& path,
                       double wavelength_m, const Transparent& through,
                       std::span<const NearThing> near, WallRoom& room) {
  if (const auto blocked = blocked_clearance(scene, path, wavelength_m, through)) return *blocked;
  const double length = path.length_m;
  Search search(length, wavelength_m);
  if (length < 2.0 * RayCaster::endpoint_gap_m) return search.best;
  thread_local std::vector<GroundPoint> line;
  if ((through.blocking & mask_of(ObstacleKind::ground)) != 0) {
    ground_line(scene.ground, path.a, path.b, line);
    for (const GroundPoint& p : line) {
      if (p.share <= 0.0 || p.share >= 1.0) continue;
      const double s = p.share * length, free = std::max(0.0, -p.above_m);
      search.take(free, free / radius_at(wavelength_m, s, length), s, 0);
    }
  }
  const PathAxes axes(path.a, path.b);
  for (const NearThing& thing : near) {
    if (is_foliage(thing.kind) || (through.blocking & mask_of(thing.kind)) == 0) continue;
    if (shapes.has(thing.id) && axes.level_m > WallView::least_level_m) {
      consider_walls(path, axes, shapes.of(thing.id), thing.id, room, search);
      continue;
    }
    const Obstacle& obstacle = scene.obstacles[thing.id];
    const TriangleMesh& mesh = scene.mesh(thing.kind);
    for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
      consider(path, mesh, obstacle.first_triangle + t, search);
    }
  }
  return search.best;
}

}  // namespace sim
