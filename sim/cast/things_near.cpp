#include <algorithm>

#include "sim/cast/clearance.h"

namespace sim {

void NearbySurfaces::gather_things() {
  constexpr double cell_m = 16.0, margin_m = 2.5;
  std::vector<PlanBox> boxes;
  for (ObstacleId id = 0; id < scene_->obstacles.size(); ++id) {
    const Obstacle& obstacle = scene_->obstacles[id];
    if (std::find(searched_kinds.begin(), searched_kinds.end(), obstacle.kind) ==
        searched_kinds.end()) {
      continue;
    }
    Thing& thing = things_.emplace_back(Thing{.id = id, .kind = mask_of(obstacle.kind)});
    PlanBox& box = boxes.emplace_back();
    const TriangleMesh& mesh = scene_->mesh(obstacle.kind);
    for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
      for (const std::uint32_t i : mesh.triangles[obstacle.first_triangle + t]) {
        const ScenePoint p = mesh.vertices[i];
        box.cover(p);
        thing.low.z_m = std::min(thing.low.z_m, p.z_m);
        thing.high.z_m = std::max(thing.high.z_m, p.z_m);
      }
    }
    thing.low = {box.west_m, box.south_m, thing.low.z_m};
    thing.high = {box.east_m, box.north_m, thing.high.z_m};
  }
  thing_cells_ = PlanCells(boxes, cell_m, margin_m);
}

void NearbySurfaces::things_near(const PathProfile& path, double wavelength_m,
                                 const Transparent& through, std::vector<ObstacleId>& near) const {
  near.clear();
  const double length = path.length_m;
  if (length < 2.0 * RayCaster::endpoint_gap_m) return;
  const double reach = corridor_radii * fresnel_radius_m(wavelength_m, 0.5 * length, 0.5 * length);
  const double level = std::max(horizontal_distance_m(path.a, path.b), 1e-9);
  const double ux = (path.b.x_m - path.a.x_m) / level, uy = (path.b.y_m - path.a.y_m) / level;
  const double slope = (path.b.z_m - path.a.z_m) / level;
  thing_cells_.each_near(path.a, path.b, reach, [&](std::uint32_t number) {
    const Thing& thing = things_[number];
    if ((through.blocking & thing.kind) == 0) return;
    // Its box as the path sees it: along, aside, above.
    const double mx = 0.5 * (thing.low.x_m + thing.high.x_m) - path.a.x_m,
                 my = 0.5 * (thing.low.y_m + thing.high.y_m) - path.a.y_m;
    const double hx = 0.5 * (thing.high.x_m - thing.low.x_m),
                 hy = 0.5 * (thing.high.y_m - thing.low.y_m);
    const double half_along = hx * std::abs(ux) + hy * std::abs(uy),
                 half_aside = hx * std::abs(uy) + hy * std::abs(ux);
    const double aside = std::abs(my * ux - mx * uy) - half_aside;
    if (aside > reach) return;
    const double along = mx * ux + my * uy;
    const double from = std::clamp(along - half_along, 0.0, level),
                 to = std::clamp(along + half_along, 0.0, level);
    if (from >= to) return;
    const double z0 = path.a.z_m + slope * from, z1 = path.a.z_m + slope * to;
    if (std::min(z0, z1) - thing.high.z_m > reach || thing.low.z_m - std::max(z0, z1) > reach) {
      return;
    }
    // The zone is widest where the box comes nearest to the middle of the path.
    const double widest_at = std::clamp(0.5 * level, from, to) * length / level;
    const double zone =
        corridor_radii * fresnel_radius_m(wavelength_m, widest_at, length - widest_at);
    if (aside > zone || std::min(z0, z1) - thing.high.z_m > zone ||
        thing.low.z_m - std::max(z0, z1) > zone) {
      return;
    }
    if (!through.ignores(thing.id)) near.push_back(thing.id);
  });
  std::sort(near.begin(), near.end());
}

}  // namespace sim
