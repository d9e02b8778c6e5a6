#include "sim/cast/upright_shapes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace sim {
namespace {

constexpr double same_m = 1e-6;

bool same_place(ScenePoint p, ScenePoint q) {
  return std::abs(p.x_m - q.x_m) < same_m && std::abs(p.y_m - q.y_m) < same_m;
}

struct Walls {
  std::vector<PlanWall> walls;
  double low_m = 1e300, high_m = -1e300;
};

/// The walls of a thing whose triangles are all walls, floor or roof; nullopt when its shape is
/// another.
std::optional<Walls> walls_of(const TriangleMesh& mesh, const Obstacle& obstacle) {
  const auto corner = [&](std::uint32_t triangle, std::size_t k) {
    return mesh.vertices[mesh.triangles[obstacle.first_triangle + triangle][k]];
  };
  Walls found;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    for (std::size_t k = 0; k < 3; ++k) {
      found.low_m = std::min(found.low_m, corner(t, k).z_m);
      found.high_m = std::max(found.high_m, corner(t, k).z_m);
    }
  }
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    std::array<bool, 3> on_top{};
    int tops = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const double z = corner(t, k).z_m;
      on_top[k] = found.high_m - z < same_m;
      if (!on_top[k] && z - found.low_m > same_m) return std::nullopt;
      tops += on_top[k] ? 1 : 0;
    }
    if (tops == 0 || tops == 3) continue;  // floor or roof
    // The lone corner stands over or under one of the other two.
    const std::size_t lone = static_cast<std::size_t>(
        std::find(on_top.begin(), on_top.end(), tops == 1) - on_top.begin());
    const ScenePoint p = corner(t, (lone + 1) % 3), q = corner(t, (lone + 2) % 3);
    if (!same_place(corner(t, lone), p) && !same_place(corner(t, lone), q)) return std::nullopt;
    if (tops == 2) found.walls.push_back({q.x_m, q.y_m, p.x_m, p.y_m});  // outside on the right
  }
  return found;
}

}  // namespace

bool UprightShapes::append_rings(std::vector<PlanWall>& walls, Entry& entry) {
  for (std::size_t begin = 0; begin < walls.size();) {
    std::size_t i = begin;
    const auto ends_at = [&](double x, double y) {
      return std::abs(walls[i].x1_m - x) < same_m && std::abs(walls[i].y1_m - y) < same_m;
    };
    while (true) {
      x_m_.push_back(walls[i].x0_m);
      y_m_.push_back(walls[i].y0_m);
      if (ends_at(walls[begin].x0_m, walls[begin].y0_m)) break;
      const auto next =
          std::find_if(walls.begin() + static_cast<std::ptrdiff_t>(i) + 1, walls.end(),
                       [&](const PlanWall& wall) { return ends_at(wall.x0_m, wall.y0_m); });
      if (next == walls.end()) return false;
      std::swap(walls[++i], *next);
    }
    begin = i + 1;
    ring_ends_.push_back(static_cast<std::uint32_t>(x_m_.size() - entry.first));
  }
  entry.count = static_cast<std::uint32_t>(x_m_.size() - entry.first);
  entry.rings = static_cast<std::uint32_t>(ring_ends_.size() - entry.first_ring);
  return true;
}

UprightShapes::UprightShapes(const Scene& scene) : entries_(scene.obstacles.size()) {
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    const Obstacle& obstacle = scene.obstacles[id];
    if (obstacle.kind == ObstacleKind::ground || is_foliage(obstacle.kind)) continue;
    auto found = walls_of(scene.mesh(obstacle.kind), obstacle);
    if (!found) continue;
    Entry entry{.first = x_m_.size(),
                .first_ring = ring_ends_.size(),
                .low_m = found->low_m,
                .high_m = found->high_m};
    if (append_rings(found->walls, entry)) {
      entries_[id] = entry;
      most_corners_ = std::max<std::size_t>(most_corners_, entry.count);
    } else {
      x_m_.resize(entry.first);
      y_m_.resize(entry.first);
      ring_ends_.resize(entry.first_ring);
    }
  }
}

}  // namespace sim
