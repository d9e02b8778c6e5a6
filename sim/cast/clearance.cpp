#include "sim/cast/clearance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "sim/cast/ground_line.h"

namespace sim {
namespace {

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

/// Takes a triangle's distance where it is nearer in first-zone radii than the best so far.
void consider(const PathProfile& path, double wavelength_m, const TriangleMesh& mesh,
              std::uint32_t triangle, Clearance& best) {
  const auto& [i, j, k] = mesh.triangles[triangle];
  const ScenePoint a = mesh.vertices[i], b = mesh.vertices[j], c = mesh.vertices[k];
  const double length = path.length_m;
  const ScenePoint direction = (1.0 / length) * (path.b - path.a);
  const double widest = fresnel_radius_m(wavelength_m, 0.5 * length, 0.5 * length);
  const double reach = std::min(NearbyThings::corridor_radii, best.fresnel_radii) * widest;
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
  // Distance over radius is smooth along the part: look at even steps, then narrow down.
  const auto ratio = [&](double s, double& distance) {
    distance = std::sqrt(squared_distance(path.a + s * direction, a, b, c));
    const double radius = fresnel_radius_m(wavelength_m, s, length - s);
    return radius > 0.0 ? distance / radius : std::numeric_limits<double>::infinity();
  };
  double step = std::max((to - from) / 8.0, 1e-6), at = from, least = 1e300, distance = 0.0;
  for (int n = 0; n <= 8; ++n) {
    const double s = std::min(from + n * step, to);
    double d = 0.0;
    if (const double r = ratio(s, d); r < least) {
      least = r;
      at = s;
      distance = d;
    }
  }
  for (; step > 0.01; step *= 0.5) {
    for (const double s : {at - 0.5 * step, at + 0.5 * step}) {
      if (s < from || s > to) continue;
      double d = 0.0;
      if (const double r = ratio(s, d); r < least) {
        least = r;
        at = s;
        distance = d;
      }
    }
  }
  if (least < best.fresnel_radii) {
    best = {.clearance_m = distance,
            .fresnel_radii = least,
            .at_m = at,
            .nearest = mesh.obstacle_of_triangle[triangle]};
  }
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

Clearance clearance_of(const Scene& scene, const PathProfile& path, double wavelength_m,
                       const Transparent& through, std::span<const NearThing> near) {
  if (const auto blocked = blocked_clearance(scene, path, wavelength_m, through)) return *blocked;
  constexpr double infinite = std::numeric_limits<double>::infinity();
  Clearance best{
      .clearance_m = infinite, .fresnel_radii = infinite, .at_m = 0.0, .nearest = no_obstacle};
  const double length = path.length_m;
  if (length < 2.0 * RayCaster::endpoint_gap_m) return best;
  thread_local std::vector<GroundPoint> line;
  if ((through.blocking & mask_of(ObstacleKind::ground)) != 0) {
    ground_line(scene.ground, path.a, path.b, line);
    for (const GroundPoint& p : line) {
      if (p.share <= 0.0 || p.share >= 1.0) continue;
      const double s = p.share * length, free = std::max(0.0, -p.above_m);
      const double radii = free / radius_at(wavelength_m, s, length);
      if (radii < best.fresnel_radii) {
        best = {.clearance_m = free, .fresnel_radii = radii, .at_m = s, .nearest = 0};
      }
    }
  }
  for (const NearThing& thing : near) {
    if (is_foliage(thing.kind) || (through.blocking & mask_of(thing.kind)) == 0) continue;
    const Obstacle& obstacle = scene.obstacles[thing.id];
    const TriangleMesh& mesh = scene.mesh(thing.kind);
    for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
      consider(path, wavelength_m, mesh, obstacle.first_triangle + t, best);
    }
  }
  return best;
}

}  // namespace sim
