#include <algorithm>
#include <cmath>

#include "sim/scene/scene_builder.h"

namespace sim {
namespace {

bool ring_contains(const std::vector<ScenePoint>& ring, double x, double y) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const ScenePoint a = ring[i], b = ring[j];
    if ((a.y_m > y) != (b.y_m > y) && x < (b.x_m - a.x_m) * (y - a.y_m) / (b.y_m - a.y_m) + a.x_m) {
      inside = !inside;
    }
  }
  return inside;
}

/// A building open below by this much is no place to be inside of.
constexpr double open_below_m = 2.0;

}  // namespace

FootprintIndex::FootprintIndex(const Scene& scene) : scene_(&scene) {
  std::vector<Box> boxes;
  Box all{1e300, 1e300, -1e300, -1e300, 0, 0};
  for (std::size_t o = 0; o < scene.outlines.size(); ++o) {
    const BuildingOutline& outline = scene.outlines[o];
    const Obstacle& building = scene.obstacles[outline.obstacle];
    for (std::size_t p = 0; p < outline.polygons.size(); ++p) {
      Box box{1e300,
              1e300,
              -1e300,
              -1e300,
              static_cast<std::uint32_t>(o),
              static_cast<std::uint32_t>(p)};
      for (const ScenePoint v : outline.polygons[p].front()) {
        box.west_m = std::min(box.west_m, v.x_m);
        box.east_m = std::max(box.east_m, v.x_m);
        box.south_m = std::min(box.south_m, v.y_m);
        box.north_m = std::max(box.north_m, v.y_m);
      }
      const double ground = outline.polygons[p].front().front().z_m;
      if (building.base_m > ground + open_below_m) continue;
      all = {std::min(all.west_m, box.west_m),
             std::min(all.south_m, box.south_m),
             std::max(all.east_m, box.east_m),
             std::max(all.north_m, box.north_m),
             0,
             0};
      boxes.push_back(box);
    }
  }
  if (boxes.empty()) return;
  west_m_ = all.west_m;
  south_m_ = all.south_m;
  cols_ = static_cast<int>((all.east_m - west_m_) / cell_m_) + 1;
  rows_ = static_cast<int>((all.north_m - south_m_) / cell_m_) + 1;
  cells_.resize(static_cast<std::size_t>(cols_) * static_cast<std::size_t>(rows_));
  for (const Box& box : boxes) {
    for (int r = static_cast<int>((box.south_m - south_m_) / cell_m_);
         r <= static_cast<int>((box.north_m - south_m_) / cell_m_); ++r) {
      for (int c = static_cast<int>((box.west_m - west_m_) / cell_m_);
           c <= static_cast<int>((box.east_m - west_m_) / cell_m_); ++c) {
        cells_[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols_) +
               static_cast<std::size_t>(c)]
            .push_back(box);
      }
    }
  }
}

std::optional<ObstacleId> FootprintIndex::building_at(double x_m, double y_m) const {
  const int c = static_cast<int>(std::floor((x_m - west_m_) / cell_m_));
  const int r = static_cast<int>(std::floor((y_m - south_m_) / cell_m_));
  if (c < 0 || r < 0 || c >= cols_ || r >= rows_) return std::nullopt;
  for (const Box& box : cells_[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols_) +
                               static_cast<std::size_t>(c)]) {
    if (x_m < box.west_m || x_m > box.east_m || y_m < box.south_m || y_m > box.north_m) continue;
    const auto& rings = scene_->outlines[box.outline].polygons[box.polygon];
    if (!ring_contains(rings.front(), x_m, y_m)) continue;
    const bool in_courtyard = std::any_of(rings.begin() + 1, rings.end(), [&](const auto& hole) {
      return ring_contains(hole, x_m, y_m);
    });
    if (!in_courtyard) return scene_->outlines[box.outline].obstacle;
  }
  return std::nullopt;
}

}  // namespace sim
