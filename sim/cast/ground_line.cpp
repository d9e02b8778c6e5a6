#include "sim/cast/ground_line.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

/// Shares at which u0 + t (u1 - u0) is a whole number.
void whole_numbers(double u0, double u1, std::vector<GroundPoint>& line) {
  const double low = std::min(u0, u1), high = std::max(u0, u1);
  if (high - low < 1e-12) return;
  for (double k = std::ceil(low); k <= high; k += 1.0) {
    line.push_back({(k - u0) / (u1 - u0), 0.0});
  }
}

}  // namespace

void ground_line(const Ground& ground, ScenePoint a, ScenePoint b, std::vector<GroundPoint>& line) {
  line.clear();
  if (ground.grid.empty()) {
    // h(s)/sqrt(s(L-s)) with h linear is least where h(s) meets s L = h1/(h1+h2), the specular
    // point.
    const double h1 = a.z_m - ground.flat_m, h2 = b.z_m - ground.flat_m;
    const double share = h1 > 0.0 && h2 > 0.0 ? h1 / (h1 + h2) : 0.5;
    line.push_back({share, ground.flat_m - (a.z_m + share * (b.z_m - a.z_m))});
    return;
  }
  const GridSpec& spec = ground.grid.spec;
  const auto col = [&](ScenePoint p) { return (p.x_m - spec.west_m) / spec.cell_x_m - 0.5; };
  const auto row = [&](ScenePoint p) { return (spec.north_m - p.y_m) / spec.cell_y_m - 0.5; };
  whole_numbers(col(a), col(b), line);
  whole_numbers(row(a), row(b), line);
  whole_numbers(col(a) + row(a), col(b) + row(b),
                line);  // the diagonals from south-west to north-east
  std::sort(line.begin(), line.end(),
            [](const GroundPoint& p, const GroundPoint& q) { return p.share < q.share; });
  for (GroundPoint& p : line) {
    const ScenePoint on_ray = a + p.share * (b - a);
    p.above_m = ground.height_at(on_ray.x_m, on_ray.y_m) - on_ray.z_m;
  }
  std::erase_if(line, [](const GroundPoint& p) { return std::isnan(p.above_m); });
}

}  // namespace sim
