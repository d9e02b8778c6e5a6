#include "sim/cast/building_blocks.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <unordered_map>

namespace sim {
namespace {

using Corner = BuildingBlocks::Corner;

struct OwnedWall {
  PlanWall wall;
  ObstacleId owner;
};

double distance_to_wall_m(double x, double y, const PlanWall& w) {
  const double dx = w.x1_m - w.x0_m, dy = w.y1_m - w.y0_m;
  const double square = dx * dx + dy * dy;
  const double t = square > 0.0 ? ((x - w.x0_m) * dx + (y - w.y0_m) * dy) / square : 0.0;
  const double s = std::clamp(t, 0.0, 1.0);
  return std::hypot(x - w.x0_m - s * dx, y - w.y0_m - s * dy);
}

/// Which side of a wall's line a point lies on: positive left.
double side_of(const PlanWall& w, double x, double y) {
  return (w.x1_m - w.x0_m) * (y - w.y0_m) - (w.y1_m - w.y0_m) * (x - w.x0_m);
}

bool touch(const PlanWall& p, const PlanWall& q) {
  const bool cross = side_of(p, q.x0_m, q.y0_m) * side_of(p, q.x1_m, q.y1_m) < 0.0 &&
                     side_of(q, p.x0_m, p.y0_m) * side_of(q, p.x1_m, p.y1_m) < 0.0;
  return cross ||
         std::min({distance_to_wall_m(p.x0_m, p.y0_m, q), distance_to_wall_m(p.x1_m, p.y1_m, q),
                   distance_to_wall_m(q.x0_m, q.y0_m, p), distance_to_wall_m(q.x1_m, q.y1_m, p)}) <
             BuildingBlocks::widest_gap_m;
}

/// Sets of things that have been joined, each named by one of them.
class JoinedSets {
 public:
  explicit JoinedSets(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), std::uint32_t{0});
  }
  std::uint32_t name_of(std::uint32_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::uint32_t i, std::uint32_t k) {
    i = name_of(i);
    k = name_of(k);
    parent_[std::max(i, k)] = std::min(i, k);
  }

 private:
  std::vector<std::uint32_t> parent_;
};

/// Joins the owners of walls that touch: only walls whose boxes share a plan cell can.
void join_touching(const std::vector<OwnedWall>& walls, JoinedSets& sets) {
  constexpr double cell_m = 8.0;
  const auto cell = [](double v) { return static_cast<std::int64_t>(std::floor(v / cell_m)); };
  std::unordered_map<std::int64_t, std::vector<std::uint32_t>> in_cell;
  for (std::uint32_t i = 0; i < walls.size(); ++i) {
    const auto& [w, owner] = walls[i];
    const double reach = BuildingBlocks::widest_gap_m;
    for (std::int64_t r = cell(std::min(w.y0_m, w.y1_m) - reach);
         r <= cell(std::max(w.y0_m, w.y1_m) + reach); ++r) {
      for (std::int64_t c = cell(std::min(w.x0_m, w.x1_m) - reach);
           c <= cell(std::max(w.x0_m, w.x1_m) + reach); ++c) {
        std::vector<std::uint32_t>& here = in_cell[(r << 32) ^ (c & 0xffffffff)];
        for (const std::uint32_t k : here) {
          if (sets.name_of(walls[k].owner) == sets.name_of(owner)) continue;
          if (touch(w, walls[k].wall)) sets.join(walls[k].owner, owner);
        }
        here.push_back(i);
      }
    }
  }
}

/// Corners of the convex hull, by the monotone chain of Andrew (1979; from memory).
std::vector<Corner> hull_of(std::vector<Corner> points) {
  std::sort(points.begin(), points.end(), [](const Corner& p, const Corner& q) {
    return std::tie(p.x_m, p.y_m, p.owner) < std::tie(q.x_m, q.y_m, q.owner);
  });
  const auto turns_right = [](const Corner& o, const Corner& p, const Corner& q) {
    return (p.x_m - o.x_m) * (q.y_m - o.y_m) - (p.y_m - o.y_m) * (q.x_m - o.x_m) <= 1e-9;
  };
  std::vector<Corner> hull;
  for (int half = 0; half < 2; ++half) {
    const std::size_t start = hull.size();
    for (const Corner& p : points) {
      while (hull.size() >= start + 2 && turns_right(hull[hull.size() - 2], hull.back(), p)) {
        hull.pop_back();
      }
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

/// From the highest buildings down: the corners that stand out of the hull of all higher ones.
/// Parts that hang over the ground enclose nothing and keep all their corners. Those of the hull of
/// all come first; returns how many they are.
std::size_t keep_outermost(const Scene& scene, std::vector<Corner>& all,
                           std::vector<Corner>& kept) {
  const auto first = static_cast<std::ptrdiff_t>(kept.size());
  std::stable_sort(all.begin(), all.end(),
                   [](const Corner& p, const Corner& q) { return p.high_m > q.high_m; });
  std::vector<Corner> hull;
  for (std::size_t i = 0; i < all.size();) {
    const double high = all[i].high_m;
    for (; i < all.size() && all[i].high_m == high; ++i) {
      const double ground = scene.ground.height_at(all[i].x_m, all[i].y_m);
      (all[i].low_m > ground ? kept : hull).push_back(all[i]);
    }
    if (hull.size() > 2) hull = hull_of(std::move(hull));
    for (const Corner& c : hull) {
      if (c.high_m == high) kept.push_back(c);
    }
  }
  constexpr double same_m = 1e-3;  // corners of neighbours in one place stay together
  const auto on_hull = [&](const Corner& c) {
    return std::any_of(hull.begin(), hull.end(), [&](const Corner& h) {
      return std::abs(c.x_m - h.x_m) < same_m && std::abs(c.y_m - h.y_m) < same_m;
    });
  };
  const auto inner = std::stable_partition(kept.begin() + first, kept.end(), on_hull);
  return static_cast<std::size_t>(inner - kept.begin() - first);
}

}  // namespace

BuildingBlocks::BuildingBlocks(const Scene& scene, const UprightShapes& shapes)
    : block_of_(scene.obstacles.size(), no_block), first_{0} {
  std::vector<OwnedWall> walls;
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    if (scene.obstacles[id].kind != ObstacleKind::building) continue;
    const UprightShape shape = shapes.of(id);
    shape.each_wall([&](std::uint32_t i, std::uint32_t k) {
      walls.push_back({shape.wall(i, k), id});
    });
  }
  JoinedSets sets(scene.obstacles.size());
  join_touching(walls, sets);
  std::map<std::uint32_t, std::vector<Corner>> of_block;  // in the order of the ids
  for (const auto& [wall, owner] : walls) {
    const UprightShape shape = shapes.of(owner);
    of_block[sets.name_of(owner)].push_back(
        {wall.x0_m, wall.y0_m, shape.low_m, shape.high_m, owner});
  }
  for (auto& [name, all] : of_block) {
    const auto block = static_cast<std::uint32_t>(first_.size() - 1);
    for (const Corner& c : all) block_of_[c.owner] = block;
    outermost_.push_back(keep_outermost(scene, all, corners_));
    first_.push_back(corners_.size());
  }
}

}  // namespace sim
