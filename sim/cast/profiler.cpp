#include "sim/cast/profiler.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/clearance.h"
#include "sim/cast/queries.h"
#include "sim/cast/wall_view.h"

namespace sim {
namespace {

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

/// A thing that the path only touches is cut by neither plane: then its whole extent.
Outline outline_of(WallView& view, const StretchInside& inside, double length_m) {
  const Reaches cut = view.cut();
  return cut.top.found() && cut.left.found()
             ? cut.outline(0.5 * (inside.enter_m + inside.exit_m), length_m)
             : view.whole().outline(0.5 * length_m, length_m);
}

}  // namespace

Profiler::Work& Profiler::work() {
  thread_local Work work;
  return work;
}

Profiler::Profiler(const Kernel& kernel, const UprightShapes& shapes)
    : kernel_(&kernel),
      shapes_(&shapes),
      things_(kernel.street()),
      ground_(kernel.street()),
      silhouettes_(kernel.street(), shapes) {}

void Profiler::add_by_rays(const PathProfile& path, const Transparent& through, KindMask kinds,
                           bool upright_too, Work& work) const {
  const Segment segment{path.a, path.b};
  const KindMask ground = mask_of(ObstacleKind::ground) & through.blocking;
  const auto part = ground != 0 ? ground_.part_near(path.a, path.b) : std::nullopt;
  if (!part && kinds == 0) return;
  work.hits.clear();
  if (part) {
    collect(*kernel_, segment, {ground, through.ignored}, nullptr, *part, work.hits);
  }
  if (kinds != 0) {
    collect(*kernel_, segment, {kinds, through.ignored}, upright_too ? nullptr : shapes_, {},
            work.hits);
  }
  if ((kinds & mask_of(ObstacleKind::canopy)) != 0) {
    add_canopy_around(*kernel_, through, path.a, path.length_m, work.hits);
  }
  const std::size_t before = work.crossings.size();
  merge_crossings(kernel_->street(), path.a, path.b, work.hits, work.crossings);
  const PathAxes axes(path.a, path.b);
  const std::span found = std::span(work.crossings).subspan(before);
  for (Crossing& crossing : found) silhouettes_.measure(axes, path.length_m, crossing);
  for (const NearThing& thing : work.near) {
    if (!thing.in_zone || (!upright_too && shapes_->has(thing.id))) continue;
    const bool crossed = std::any_of(found.begin(), found.end(),
                                     [&](const Crossing& c) { return c.obstacle == thing.id; });
    if (!crossed) {
      work.passing.push_back({thing.id, silhouettes_.passing(axes, path.length_m, thing.id)});
    }
  }
}

void Profiler::trace(PathProfile& path, double wavelength_m, const Transparent& through,
                     Work& work) const {
  const Scene& scene = kernel_->street();
  things_.find(path.a, path.b, wavelength_m, through, work.near);
  const PathAxes axes(path.a, path.b);
  const double length = path.length_m;
  const bool by_walls = axes.level_m > WallView::least_level_m;
  work.crossings.clear();
  work.passing.clear();
  KindMask by_rays = 0;
  for (const NearThing& thing : work.near) {
    if (thing.off_m > 0.0 && !thing.in_zone) continue;  // neither met nor passed
    if (thing.kind == ObstacleKind::crown) {
      if (const auto crossing = crown_crossing(scene, path.a, path.b, thing.id)) {
        work.crossings.push_back(*crossing);
      }
    } else if (!by_walls || !shapes_->has(thing.id)) {
      by_rays |= mask_of(thing.kind);
    } else {
      const UprightShape shape = shapes_->of(thing.id);
      WallView view(axes, shape, work.walls);
      if (const auto inside = view.inside(length)) {
        work.crossings.push_back({.obstacle = thing.id,
                                  .enter_m = inside->enter_m,
                                  .exit_m = inside->exit_m,
                                  .inside_m = inside->inside_m,
                                  .outline = outline_of(view, *inside, length)});
      } else if (thing.in_zone) {
        work.passing.push_back({thing.id, view.whole().outline(0.5 * length, length)});
      }
    }
  }
  add_by_rays(path, through, by_rays, !by_walls, work);
  std::sort(work.passing.begin(), work.passing.end(),
            [](const Passing& p, const Passing& q) { return p.obstacle < q.obstacle; });
  path.passing.assign(work.passing.begin(), work.passing.end());
  // Crossings are large: their order first.
  work.order.clear();
  for (const Crossing& c : work.crossings) work.order.push_back(&c);
  std::sort(work.order.begin(), work.order.end(), [](const Crossing* p, const Crossing* q) {
    return std::tie(p->enter_m, p->exit_m, p->obstacle) <
           std::tie(q->enter_m, q->exit_m, q->obstacle);
  });
  path.crossings.reserve(work.order.size());
  for (const Crossing* c : work.order) path.crossings.push_back(*c);
}

std::vector<Crossing> Profiler::crossings(ScenePoint a, ScenePoint b,
                                          const Transparent& through) const {
  PathProfile path{.a = a, .b = b, .length_m = distance_m(a, b)};
  trace(path, 0.0, through, work());
  return std::move(path.crossings);
}

PathProfile Profiler::profile(ScenePoint a, ScenePoint b, double wavelength_m,
                              const Transparent& through) const {
  const Scene& scene = kernel_->street();
  PathProfile path{.a = a, .b = b, .length_m = distance_m(a, b)};
  Work& work = Profiler::work();
  trace(path, wavelength_m, through, work);
  path.clearance =
      clearance_of(scene, *shapes_, path, wavelength_m, through, work.near, work.walls);
  path.wide_clearance = path.clearance;
  const ObstacleId nearest = path.clearance.nearest;
  if (nearest != no_obstacle && !is_wide(scene.obstacles[nearest].kind)) {
    const Transparent wide{through.blocking & wide_mask, through.ignored};
    path.wide_clearance =
        clearance_of(scene, *shapes_, path, wavelength_m, wide, work.near, work.walls);
  }
  return path;
}

}  // namespace sim
