#include "sim/base/grid.h"

#include <cmath>
#include <limits>

namespace sim {

double HeightGrid::sample(double x_m, double y_m) const {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  if (empty()) return nan;
  const double col = (x_m - spec.west_m) / spec.cell_x_m - 0.5;
  const double row = (spec.north_m - y_m) / spec.cell_y_m - 0.5;
  if (!(col >= 0.0 && row >= 0.0 && col <= spec.cols - 1 && row <= spec.rows - 1)) return nan;
  if (spec.cols < 2 || spec.rows < 2) return nan;
  const int c = std::min(static_cast<int>(col), spec.cols - 2);
  const int r = std::min(static_cast<int>(row), spec.rows - 2);
  const double u = col - c;          // 0 west .. 1 east
  const double v = 1.0 - (row - r);  // 0 south .. 1 north
  const auto at = [&](int dc, int dr) {
    return static_cast<double>(values[spec.index(c + dc, r + dr)]);
  };
  const double sw = at(0, 1), se = at(1, 1), nw = at(0, 0), ne = at(1, 0);
  return u >= v ? sw + u * (se - sw) + v * (ne - se) : sw + v * (nw - sw) + u * (ne - nw);
}

}  // namespace sim
