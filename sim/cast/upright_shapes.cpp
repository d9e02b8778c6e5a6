#include "sim/cast/upright_shapes.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sim {
namespace {

constexpr double same_m = 1e-6;

bool same_place(ScenePoint p, ScenePoint q) {
  return std::abs(p.x_m - q.x_m) < same_m && std::abs(p.y_m - q.y_m) < same_m;
}

}  // namespace

bool UprightShapes::append_walls(const TriangleMesh& mesh, const Obstacle& obstacle, Entry& entry) {
  const auto corner = [&](std::uint32_t triangle, std::size_t k) {
    return mesh.vertices[mesh.triangles[obstacle.first_triangle + triangle][k]];
  };
  double low = 1e300, high = -1e300;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    for (std::size_t k = 0; k < 3; ++k) {
      low = std::min(low, corner(t, k).z_m);
      high = std::max(high, corner(t, k).z_m);
    }
  }
  entry = {.first = walls_.size(), .count = 0, .low_m = low, .high_m = high};
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    std::array<bool, 3> on_top{};
    int tops = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const double z = corner(t, k).z_m;
      on_top[k] = high - z < same_m;
      if (!on_top[k] && z - low > same_m) return false;
      tops += on_top[k] ? 1 : 0;
    }
    if (tops == 0 || tops == 3) continue;  // floor or roof
    // The lone corner stands over or under one of the other two.
    const std::size_t lone = static_cast<std::size_t>(
        std::find(on_top.begin(), on_top.end(), tops == 1) - on_top.begin());
    const ScenePoint p = corner(t, (lone + 1) % 3), q = corner(t, (lone + 2) % 3);
    if (!same_place(corner(t, lone), p) && !same_place(corner(t, lone), q)) return false;
    if (tops == 2) walls_.push_back({q.x_m, q.y_m, p.x_m, p.y_m});  // outside on the right
  }
  entry.count = walls_.size() - entry.first;
  return true;
}

UprightShapes::UprightShapes(const Scene& scene) : entries_(scene.obstacles.size()) {
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    const Obstacle& obstacle = scene.obstacles[id];
    if (obstacle.kind == ObstacleKind::ground || is_foliage(obstacle.kind)) continue;
    Entry& entry = entries_[id];
    if (append_walls(scene.mesh(obstacle.kind), obstacle, entry)) continue;
    walls_.resize(entry.first);
    entry.count = 0;
  }
}

}  // namespace sim
