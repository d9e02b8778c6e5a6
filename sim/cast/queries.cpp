#include "sim/cast/queries.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/upright_shapes.h"

namespace sim {
namespace {

/// The true ray that a kernel ray stands for.
struct TrueRay {
  ScenePoint a, direction;
  double length_m;
};
TrueRay true_ray(const QueryContext& query, unsigned id) {
  const Segment& s = query.segments[id];
  const ScenePoint way = s.b - s.a;
  const double length = std::sqrt(dot(way, way));
  return {s.a, (1.0 / std::max(length, 1e-9)) * way, length};
}

bool is_ignored(const QueryContext& query, ObstacleId id) {
  return std::find(query.ignored.begin(), query.ignored.end(), id) != query.ignored.end();
}

/// Whether the true ray passes the obstacle's surface anywhere between its ends.
bool passes(const Scene& scene, ObstacleId id, const TrueRay& ray) {
  const Obstacle& obstacle = scene.obstacles[id];
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    const auto hit = exact_hit(mesh, obstacle.first_triangle + t, ray.a, ray.direction);
    if (hit && hit->edge_distance_m >= 0.0 && hit->along_m > 0.0 && hit->along_m < ray.length_m) {
      return true;
    }
  }
  return false;
}

}  // namespace

void collect_hits(const RTCFilterFunctionNArguments* args) {
  auto* query = reinterpret_cast<QueryContext*>(args->context);
  for (unsigned i = 0; i < args->N; ++i) {
    if (args->valid[i] == 0) continue;
    args->valid[i] = 0;
    const auto kind = static_cast<ObstacleKind>(RTCHitN_geomID(args->hit, args->N, i));
    const std::uint32_t triangle = RTCHitN_primID(args->hit, args->N, i);
    const TriangleMesh& mesh = query->owner->street().mesh(kind);
    const ObstacleId obstacle = mesh.obstacle_of_triangle[triangle];
    if (is_ignored(*query, obstacle)) continue;
    if (query->upright != nullptr && query->upright->has(obstacle)) continue;
    const TrueRay ray = true_ray(*query, RTCRayN_id(args->ray, args->N, i));
    if (!query->owner->is_beyond_doubt(static_cast<unsigned>(kind), triangle,
                                       RTCHitN_u(args->hit, args->N, i),
                                       RTCHitN_v(args->hit, args->N, i))) {
      const auto exact = exact_hit(mesh, triangle, ray.a, ray.direction);
      if (!exact || exact->edge_distance_m < -Kernel::doubtful_edge_m) continue;
    }
    const auto hit = plane_hit(mesh, triangle, ray.a, ray.direction);
    if (!hit) continue;
    query->hits->push_back({.along_m = hit->along_m,
                            .obstacle = obstacle,
                            .triangle = triangle,
                            .entering = hit->entering});
  }
}

void refuse_false_hits(const RTCFilterFunctionNArguments* args) {
  auto* query = reinterpret_cast<QueryContext*>(args->context);
  for (unsigned i = 0; i < args->N; ++i) {
    if (args->valid[i] == 0) continue;
    const unsigned geometry = RTCHitN_geomID(args->hit, args->N, i);
    const auto kind = static_cast<ObstacleKind>(geometry);
    const std::uint32_t triangle = RTCHitN_primID(args->hit, args->N, i);
    query->stood = {kind, triangle};
    if (kind == ObstacleKind::ground) continue;
    if (query->ignored.empty() &&
        query->owner->is_beyond_doubt(geometry, triangle, RTCHitN_u(args->hit, args->N, i),
                                      RTCHitN_v(args->hit, args->N, i))) {
      query->blocker = {kind, triangle};
      continue;
    }
    const TriangleMesh& mesh = query->owner->street().mesh(kind);
    const ObstacleId id = mesh.obstacle_of_triangle[triangle];
    if (is_ignored(*query, id)) {
      args->valid[i] = 0;
      continue;
    }
    const TrueRay ray = true_ray(*query, RTCRayN_id(args->ray, args->N, i));
    const auto exact = exact_hit(mesh, triangle, ray.a, ray.direction);
    if (exact && std::abs(exact->edge_distance_m) > Kernel::doubtful_edge_m) continue;
    if (!passes(query->owner->street(), id, ray)) args->valid[i] = 0;
  }
}

QueryContext query_for(const Kernel& kernel, const Segment* segments, const Transparent& through,
                       RTCFilterFunctionN filter) {
  QueryContext query;
  rtcInitIntersectContext(&query.kernel);
  query.kernel.filter = filter;
  query.owner = &kernel;
  query.ignored = through.ignored;
  query.segments = segments;
  return query;
}

}  // namespace sim
