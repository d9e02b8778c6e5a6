#include "sim/cast/profiler.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/clearance.h"
#include "sim/cast/queries.h"
#include "sim/cast/wall_view.h"

namespace sim {
namespace {

/// In plan a path is at least this long, else it has no walls beside it and rays do all the work.
constexpr double least_level_m = 1e-3;

/// Adds the hits of a ray on what is in the mask, but for upright things where `upright` is given.
void collect(const Kernel& kernel, const Segment& segment, const Transparent& through,
             const UprightShapes* upright, const GroundCeiling::Part& part,
             std::vector<Hit>& hits) {
  QueryContext query = query_for(kernel, &segment, through, collect_hits);
  query.hits = &hits;
  query.upright = upright;
  RTCRay ray = kernel_ray(segment.a, segment.b, through.blocking);
  ray.tnear = std::max(ray.tnear, static_cast<float>(part.from));
  ray.tfar = std::min(ray.tfar, static_cast<float>(part.to));
  if (ray.tnear < ray.tfar) rtcOccluded1(kernel.scene(), &query.kernel, &ray);
}

/// A ray that begins and ends inside a canopy meets no surface of it. Where it begins is told by a
/// ray straight up: an odd number of surfaces means inside.
void add_canopy_around(const Kernel& kernel, const Transparent& through, ScenePoint a,
                       double length_m, std::vector<Hit>& hits) {
  constexpr double above_all_m = 200.0;
  const Segment up{a, {a.x_m, a.y_m, a.z_m + above_all_m}};
  std::vector<Hit> overhead;
  collect(kernel, up, {mask_of(ObstacleKind::canopy), through.ignored}, nullptr, {}, overhead);
  for (const Hit& hit : overhead) {
    const auto of_it = [&](const Hit& h) { return h.obstacle == hit.obstacle; };
    if (std::count_if(overhead.begin(), overhead.end(), of_it) % 2 == 0) continue;
    if (std::any_of(hits.begin(), hits.end(), of_it)) continue;
    hits.push_back({.along_m = 0.0, .obstacle = hit.obstacle, .triangle = 0, .entering = true});
    hits.push_back(
        {.along_m = length_m, .obstacle = hit.obstacle, .triangle = 0, .entering = false});
  }
}

}  // namespace

Profiler::Profiler(const Kernel& kernel, const UprightShapes& shapes)
    : kernel_(&kernel),
      shapes_(&shapes),
      things_(kernel.street()),
      ground_(kernel.street()),
      silhouettes_(kernel.street(), shapes) {}

void Profiler::add_by_rays(const PathProfile& path, const Transparent& through, KindMask kinds,
                           bool upright_too, std::vector<Crossing>& crossings) const {
  const Segment segment{path.a, path.b};
  thread_local std::vector<Hit> hits;
  hits.clear();
  const KindMask ground = mask_of(ObstacleKind::ground) & through.blocking;
  if (const auto part = ground_.part_near(path.a, path.b); ground != 0 && part) {
    collect(*kernel_, segment, {ground, through.ignored}, nullptr, *part, hits);
  }
  if (kinds != 0) {
    collect(*kernel_, segment, {kinds, through.ignored}, upright_too ? nullptr : shapes_, {}, hits);
  }
  if ((kinds & mask_of(ObstacleKind::canopy)) != 0) {
    add_canopy_around(*kernel_, through, path.a, path.length_m, hits);
  }
  if (!hits.empty()) merge_crossings(kernel_->street(), path.a, path.b, hits, crossings);
}

void Profiler::trace(PathProfile& path, double wavelength_m, const Transparent& through,
                     std::vector<NearThing>& near) const {
  const Scene& scene = kernel_->street();
  things_.find(path.a, path.b, wavelength_m, through, near);
  const PathAxes axes(path.a, path.b);
  const double length = path.length_m;
  const bool by_walls = horizontal_distance_m(path.a, path.b) > least_level_m;
  thread_local std::vector<WallPassed> passed;
  thread_local std::vector<Crossing> crossings;
  thread_local std::vector<Passing> passing;
  crossings.clear();
  passing.clear();
  KindMask by_rays = 0;
  for (const NearThing& thing : near) {
    if (thing.kind == ObstacleKind::crown) {
      if (const auto crossing = crown_crossing(scene, path.a, path.b, thing.id)) {
        crossings.push_back(*crossing);
      }
    } else if (!by_walls || !shapes_->has(thing.id)) {
      by_rays |= mask_of(thing.kind);
    } else if (const auto inside = WallView(axes, shapes_->of(thing.id)).inside(length, passed)) {
      crossings.push_back({.obstacle = thing.id,
                           .enter_m = inside->enter_m,
                           .exit_m = inside->exit_m,
                           .inside_m = inside->inside_m,
                           .outline = {}});
    } else if (thing.in_zone) {
      passing.push_back({thing.id, silhouettes_.passing(axes, length, thing.id)});
    }
  }
  add_by_rays(path, through, by_rays, !by_walls, crossings);
  if (by_rays != 0) {
    for (const NearThing& thing : near) {
      if (!thing.in_zone || (by_walls && shapes_->has(thing.id))) continue;
      const bool crossed = std::any_of(crossings.begin(), crossings.end(),
                                       [&](const Crossing& c) { return c.obstacle == thing.id; });
      if (!crossed) passing.push_back({thing.id, silhouettes_.passing(axes, length, thing.id)});
    }
    std::sort(passing.begin(), passing.end(),
              [](const Passing& p, const Passing& q) { return p.obstacle < q.obstacle; });
  }
  for (Crossing& crossing : crossings) silhouettes_.measure(axes, length, crossing);
  std::sort(crossings.begin(), crossings.end(), [](const Crossing& p, const Crossing& q) {
    return std::tie(p.enter_m, p.exit_m, p.obstacle) < std::tie(q.enter_m, q.exit_m, q.obstacle);
  });
  path.crossings.assign(crossings.begin(), crossings.end());
  path.passing.assign(passing.begin(), passing.end());
}

std::vector<Crossing> Profiler::crossings(ScenePoint a, ScenePoint b,
                                          const Transparent& through) const {
  PathProfile path{.a = a, .b = b, .length_m = distance_m(a, b)};
  thread_local std::vector<NearThing> near;
  trace(path, 0.0, through, near);
  return std::move(path.crossings);
}

PathProfile Profiler::profile(ScenePoint a, ScenePoint b, double wavelength_m,
                              const Transparent& through) const {
  const Scene& scene = kernel_->street();
  PathProfile path{.a = a, .b = b, .length_m = distance_m(a, b)};
  thread_local std::vector<NearThing> near;
  trace(path, wavelength_m, through, near);
  path.clearance = clearance_of(scene, path, wavelength_m, through, near);
  path.wide_clearance = path.clearance;
  const ObstacleId nearest = path.clearance.nearest;
  if (nearest != no_obstacle && !is_wide(scene.obstacles[nearest].kind)) {
    path.wide_clearance = clearance_of(
        scene, path, wavelength_m, {through.blocking & wide_mask, through.ignored}, near);
  }
  return path;
}

}  // namespace sim
