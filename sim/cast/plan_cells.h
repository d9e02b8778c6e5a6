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

  /// Numbers of the boxes that may come within `reach_m` of the path from a to b, and some others;
  /// each once. Good until the thread's next search.
  std::span<const std::uint32_t> near(ScenePoint a, ScenePoint b, double reach_m) const;

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

}  // namespace sim
