#include "sim/cast/ground_ceiling.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/cast/plan_cells.h"

namespace sim {
namespace {

constexpr double slack_m = 0.05;  // over what rounding moves a path or a triangle
constexpr double most_cells = 1 << 22;

}  // namespace

GroundCeiling::GroundCeiling(const Scene& scene) {
  const TriangleMesh& mesh = scene.mesh(ObstacleKind::ground);
  PlanBox all;
  for (const ScenePoint p : mesh.vertices) all.cover(p);
  if (mesh.triangles.empty()) return;
  west_m_ = all.west_m - slack_m;
  south_m_ = all.south_m - slack_m;
  const double width = all.east_m + slack_m - west_m_, depth = all.north_m + slack_m - south_m_;
  cell_m_ = std::max(cell_m_, std::sqrt(width * depth / most_cells));
  cols_ = static_cast<int>(width / cell_m_) + 1;
  rows_ = static_cast<int>(depth / cell_m_) + 1;
  ceiling_m_.assign(static_cast<std::size_t>(cols_) * static_cast<std::size_t>(rows_), -1e30F);
  for (const auto& triangle : mesh.triangles) {
    PlanBox box;
    double top = -1e300;
    for (const std::uint32_t v : triangle) {
      box.cover(mesh.vertices[v]);
      top = std::max(top, mesh.vertices[v].z_m);
    }
    highest_m_ = std::max(highest_m_, top + slack_m);
    const auto cell = [&](double from_edge, int count) {
      return std::clamp(static_cast<int>(from_edge / cell_m_), 0, count - 1);
    };
    const int c0 = cell(box.west_m - slack_m - west_m_, cols_),
              c1 = cell(box.east_m + slack_m - west_m_, cols_);
    const int r0 = cell(box.south_m - slack_m - south_m_, rows_),
              r1 = cell(box.north_m + slack_m - south_m_, rows_);
    for (int r = r0; r <= r1; ++r) {
      for (int c = c0; c <= c1; ++c) {
        float& here = ceiling_m_[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols_) +
                                 static_cast<std::size_t>(c)];
        here = std::max(here, static_cast<float>(top + slack_m));
      }
    }
  }
}

std::optional<GroundCeiling::Part> GroundCeiling::part_near(ScenePoint a, ScenePoint b) const {
  if (cols_ == 0 || std::min(a.z_m, b.z_m) > highest_m_) return std::nullopt;
  const double x0 = (a.x_m - west_m_) / cell_m_, y0 = (a.y_m - south_m_) / cell_m_;
  const double dx = (b.x_m - a.x_m) / cell_m_, dy = (b.y_m - a.y_m) / cell_m_;
  // The part over the raster.
  double t = 0.0, end = 1.0;
  for (const auto& [from, way, count] : {std::tuple(x0, dx, cols_), std::tuple(y0, dy, rows_)}) {
    if (way == 0.0) {
      if (from < 0.0 || from > count) return std::nullopt;
      continue;
    }
    const double u = -from / way, v = (count - from) / way;
    t = std::max(t, std::min(u, v));
    end = std::min(end, std::max(u, v));
  }
  if (t > end) return std::nullopt;
  // From cell to cell, whichever side is reached first (Amanatides and Woo 1987; from memory).
  const auto cell = [](double at, int count) {
    return std::clamp(static_cast<int>(at), 0, count - 1);
  };
  int c = cell(x0 + t * dx, cols_), r = cell(y0 + t * dy, rows_);
  constexpr double never = std::numeric_limits<double>::infinity();
  const int step_c = dx > 0.0 ? 1 : -1, step_r = dy > 0.0 ? 1 : -1;
  const double per_c = dx == 0.0 ? never : std::abs(1.0 / dx),
               per_r = dy == 0.0 ? never : std::abs(1.0 / dy);
  double next_c = dx == 0.0 ? never : (c + (dx > 0.0 ? 1 : 0) - x0) / dx,
         next_r = dy == 0.0 ? never : (r + (dy > 0.0 ? 1 : 0) - y0) / dy;
  Part part{.from = 2.0, .to = -1.0};
  while (t <= end) {
    const double leaves = std::min({next_c, next_r, end});
    const double lowest = a.z_m + (b.z_m > a.z_m ? t : leaves) * (b.z_m - a.z_m);
    if (lowest <= static_cast<double>(
                      ceiling_m_[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols_) +
                                 static_cast<std::size_t>(c)])) {
      part.from = std::min(part.from, t);
      part.to = leaves;
    }
    if (leaves >= end) break;
    t = leaves;
    if (next_c < next_r) {
      next_c += per_c;
      c += step_c;
    } else {
      next_r += per_r;
      r += step_r;
    }
    if (c < 0 || c >= cols_ || r < 0 || r >= rows_) break;
  }
  if (part.to < 0.0) return std::nullopt;
  // A little more on either side, for the kernel's rounding.
  constexpr double more = 1e-5;
  return Part{.from = part.from - more, .to = part.to + more};
}

}  // namespace sim
