#include "sim/cast/clearance.h"

namespace sim {

void NearbySurfaces::gather_things() {
  boxes_.resize(scene_->obstacles.size());
  for (const ObstacleKind kind : searched_kinds) {
    const TriangleMesh& mesh = scene_->mesh(kind);
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      Box& box = boxes_[mesh.obstacle_of_triangle[t]];
      for (const std::uint32_t i : mesh.triangles[t]) {
        const ScenePoint p = mesh.vertices[i];
        box.low = {std::min(box.low.x_m, p.x_m), std::min(box.low.y_m, p.y_m),
                   std::min(box.low.z_m, p.z_m)};
        box.high = {std::max(box.high.x_m, p.x_m), std::max(box.high.y_m, p.y_m),
                    std::max(box.high.z_m, p.z_m)};
      }
    }
  }
  thing_first_.push_back(0);
  for (std::size_t cell = 0; cell + 1 < first_.size(); ++cell) {
    const auto from = static_cast<std::ptrdiff_t>(things_.size());
    for (std::uint32_t n = first_[cell]; n < first_[cell + 1]; ++n) {
      const Surface& s = surfaces_[n];
      things_.push_back(scene_->mesh(s.kind).obstacle_of_triangle[s.triangle]);
    }
    std::sort(things_.begin() + from, things_.end());
    things_.erase(std::unique(things_.begin() + from, things_.end()), things_.end());
    thing_first_.push_back(static_cast<std::uint32_t>(things_.size()));
  }
}

void NearbySurfaces::things_near(const PathProfile& path, double wavelength_m,
                                 const Transparent& through,
                                 std::vector<ObstacleId>& things) const {
  things.clear();
  const double length = path.length_m;
  if (cols_ == 0 || length < 2.0 * RayCaster::endpoint_gap_m) return;
  const double reach = corridor_radii * fresnel_radius_m(wavelength_m, 0.5 * length, 0.5 * length);
  const double level = std::max(horizontal_distance_m(path.a, path.b), 1e-9);
  const double ux = (path.b.x_m - path.a.x_m) / level, uy = (path.b.y_m - path.a.y_m) / level;
  const double slope = (path.b.z_m - path.a.z_m) / level;
  thread_local std::vector<std::uint32_t> seen;  // by obstacle: the path that looked at it last
  thread_local std::uint32_t path_number = 0;
  if (seen.size() < boxes_.size() || ++path_number == 0) {
    seen.assign(boxes_.size(), 0);
    path_number = 1;
  }
  each_cell_near(path, reach, [&](std::size_t cell) {
    for (std::uint32_t n = thing_first_[cell]; n < thing_first_[cell + 1]; ++n) {
      const ObstacleId id = things_[n];
      if (seen[id] == path_number) continue;
      seen[id] = path_number;
      if ((through.blocking & mask_of(scene_->obstacles[id].kind)) == 0) continue;
      if (through.ignores(id)) continue;
      // The box as the path sees it: along, aside, above.
      const Box& box = boxes_[id];
      const double mx = 0.5 * (box.low.x_m + box.high.x_m) - path.a.x_m,
                   my = 0.5 * (box.low.y_m + box.high.y_m) - path.a.y_m;
      const double hx = 0.5 * (box.high.x_m - box.low.x_m), hy = 0.5 * (box.high.y_m - box.low.y_m);
      const double half_along = hx * std::abs(ux) + hy * std::abs(uy),
                   half_aside = hx * std::abs(uy) + hy * std::abs(ux);
      const double along = mx * ux + my * uy, aside = my * ux - mx * uy;
      const double from = std::clamp(along - half_along, 0.0, level),
                   to = std::clamp(along + half_along, 0.0, level);
      if (from >= to) continue;
      // The zone is widest where the box comes nearest to the middle of the path.
      const double widest_at = std::clamp(0.5 * level, from, to) * length / level;
      const double near =
          corridor_radii * fresnel_radius_m(wavelength_m, widest_at, length - widest_at);
      if (std::abs(aside) - half_aside > near) continue;
      const double z0 = path.a.z_m + slope * from, z1 = path.a.z_m + slope * to;
      if (std::min(z0, z1) - box.high.z_m > near || box.low.z_m - std::max(z0, z1) > near) continue;
      things.push_back(id);
    }
  });
  std::sort(things.begin(), things.end());
}

}  // namespace sim
