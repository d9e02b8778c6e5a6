// Which of many boxes lie near a path, in plan.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>
#include <vector>

#include "sim/base/points.h"

namespace sim {

struct PlanBox {
  double west_m = 1e300, south_m = 1e300, east_m = -1e300, north_m = -1e300;

  void cover(ScenePoint p) {
    west_m = std::min(west_m, p.x_m);
    south_m = std::min(south_m, p.y_m);
    east_m = std::max(east_m, p.x_m);
    north_m = std::max(north_m, p.y_m);
  }
};

/// Boxes by their number in square cells of the plan. A box stands in every cell within `margin_m`
/// of it, so that a search of no greater reach looks only at the cells under the path.
class PlanCells {
 public:
  PlanCells() = default;
  PlanCells(std::span<const PlanBox> boxes, double cell_m, double margin_m);

  /// Calls `use(number)` once for every box that may come within `reach_m` of the path from a to b,
  /// and for some others. Not from within itself.
  template <class Use>
  void each_near(ScenePoint a, ScenePoint b, double reach_m, Use use) const;

 private:
  template <class Use>
  void each_cell_of(const PlanBox& box, Use use) const;
  std::size_t cell_index(int col, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(cols_) +
           static_cast<std::size_t>(col);
  }

  double west_m_ = 0.0, south_m_ = 0.0, cell_m_ = 1.0, margin_m_ = 0.0;
  int cols_ = 0, rows_ = 0;
  std::size_t count_ = 0;
  std::vector<std::uint32_t> first_;    ///< per cell, into numbers_; one more at the end
  std::vector<std::uint32_t> numbers_;  ///< of the boxes that stand in the cell
};

/// Marks of the numbers that a search has met already; one set of them serves every search of a
/// thread.
std::uint32_t* fresh_marks(std::size_t count, std::uint32_t& mark);

template <class Use>
void PlanCells::each_near(ScenePoint a, ScenePoint b, double reach_m, Use use) const {
  if (cols_ == 0) return;
  std::uint32_t mark = 0;
  std::uint32_t* const marks = fresh_marks(count_, mark);
  const double reach = std::max(0.0, reach_m - margin_m_);
  const double x0 = a.x_m - west_m_, y0 = a.y_m - south_m_;
  const double dx = b.x_m - a.x_m, dy = b.y_m - a.y_m;
  const auto cell = [&](double v) { return static_cast<int>(std::floor(v / cell_m_)); };
  const int r0 = std::max(0, cell(std::min(y0, y0 + dy) - reach));
  const int r1 = std::min(rows_ - 1, cell(std::max(y0, y0 + dy) + reach));
  for (int r = r0; r <= r1; ++r) {
    // Share of the path whose y lies within this row, widened by the reach.
    double t0 = 0.0, t1 = 1.0;
    if (std::abs(dy) > 1e-9) {
      const double u = (r * cell_m_ - reach - y0) / dy, v = ((r + 1) * cell_m_ + reach - y0) / dy;
      t0 = std::clamp(std::min(u, v), 0.0, 1.0);
      t1 = std::clamp(std::max(u, v), 0.0, 1.0);
    }
    const double xa = x0 + t0 * dx, xb = x0 + t1 * dx;
    const int c0 = std::max(0, cell(std::min(xa, xb) - reach));
    const int c1 = std::min(cols_ - 1, cell(std::max(xa, xb) + reach));
    for (int c = c0; c <= c1; ++c) {
      const std::size_t at = cell_index(c, r);
      for (std::uint32_t n = first_[at]; n < first_[at + 1]; ++n) {
        const std::uint32_t number = numbers_[n];
        if (marks[number] == mark) continue;
        marks[number] = mark;
        use(number);
      }
    }
  }
}

}  // namespace sim
