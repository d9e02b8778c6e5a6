#include "sim/cast/things_near.h"

#include <algorithm>
#include <cmath>

namespace sim {

NearbyThings::NearbyThings(const Scene& scene) {
  constexpr double cell_m = 16.0, margin_m = 2.5;
  std::vector<PlanBox> boxes;
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    const Obstacle& obstacle = scene.obstacles[id];
    if (obstacle.kind == ObstacleKind::ground) continue;
    PlanBox& box = boxes.emplace_back();
    double low = 1e300, high = -1e300;
    const TriangleMesh& mesh = scene.mesh(obstacle.kind);
    for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
      for (const std::uint32_t i : mesh.triangles[obstacle.first_triangle + t]) {
        const ScenePoint p = mesh.vertices[i];
        box.cover(p);
        low = std::min(low, p.z_m);
        high = std::max(high, p.z_m);
      }
    }
    things_.push_back({.middle_x_m = 0.5 * (box.west_m + box.east_m),
                       .middle_y_m = 0.5 * (box.south_m + box.north_m),
                       .half_x_m = 0.5 * (box.east_m - box.west_m),
                       .half_y_m = 0.5 * (box.north_m - box.south_m),
                       .low_m = low,
                       .high_m = high,
                       .id = id,
                       .kind = obstacle.kind});
  }
  cells_ = PlanCells(boxes, cell_m, margin_m);
}

void NearbyThings::find(ScenePoint a, ScenePoint b, double wavelength_m, const Transparent& through,
                        std::vector<NearThing>& near) const {
  near.clear();
  const double length = distance_m(a, b);
  if (length < 2.0 * RayCaster::endpoint_gap_m) return;
  constexpr double rounding_m = 1e-6;
  const double zone = corridor_radii * fresnel_radius_m(wavelength_m, 0.5 * length, 0.5 * length);
  const double reach = zone + rounding_m;
  const double level = std::max(horizontal_distance_m(a, b), 1e-9);
  const double ux = (b.x_m - a.x_m) / level, uy = (b.y_m - a.y_m) / level;
  const double across_x = std::abs(ux), across_y = std::abs(uy);
  const double slope = (b.z_m - a.z_m) / level;
  const std::span<const std::uint32_t> numbers = cells_.near(a, b, reach);
  near.resize(numbers.size());
  std::size_t count = 0;
  // Without branches: whether a box is near follows no order.
  for (const std::uint32_t number : numbers) {
    const Thing& thing = things_[number];
    // Its box as the path sees it: along, aside, above.
    const double mx = thing.middle_x_m - a.x_m, my = thing.middle_y_m - a.y_m;
    const double aside =
        std::abs(my * ux - mx * uy) - (thing.half_x_m * across_y + thing.half_y_m * across_x);
    const double along = mx * ux + my * uy;
    const double half_along = thing.half_x_m * across_x + thing.half_y_m * across_y;
    const double from = std::min(std::max(along - half_along, 0.0), level),
                 to = std::min(std::max(along + half_along, 0.0), level);
    const double z_from = a.z_m + slope * from, z_to = a.z_m + slope * to;
    const double over = std::min(z_from, z_to) - thing.high_m,
                 under = thing.low_m - std::max(z_from, z_to);
    const double off = std::max(aside, std::max(over, under));
    near[count] = {.id = thing.id,
                   .kind = thing.kind,
                   .in_zone = from < to && off <= zone,
                   .off_m = off,
                   .from_m = from,
                   .to_m = to};
    const bool met = (off <= reach) & (along + half_along >= -reach) &
                     (along - half_along <= level + reach) &
                     ((through.blocking & mask_of(thing.kind)) != 0);
    count += met ? 1 : 0;
  }
  near.resize(count);
  if (!through.ignored.empty()) {
    std::erase_if(near, [&](const NearThing& thing) { return through.ignores(thing.id); });
  }
  for (NearThing& thing : near) {
    if (!thing.in_zone) continue;
    // The zone is widest where the box comes nearest to the middle of the path.
    const double widest_at = std::clamp(0.5 * level, thing.from_m, thing.to_m) * length / level;
    thing.in_zone = wavelength_m > 0.0 && !is_foliage(thing.kind) &&
                    thing.off_m <= corridor_radii * fresnel_radius_m(wavelength_m, widest_at,
                                                                     length - widest_at);
  }
}

}  // namespace sim
