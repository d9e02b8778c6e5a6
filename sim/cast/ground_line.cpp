#include "sim/cast/ground_line.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

/// Shares at which u0 + t (u1 - u0) is a whole number, in their order; behind what is there, and
/// merged with it.
void merge_whole_numbers(double u0, double u1, std::vector<GroundPoint>& line) {
  const auto before = static_cast<std::ptrdiff_t>(line.size());
  if (std::abs(u1 - u0) < 1e-12) return;
  const double step = u1 > u0 ? 1.0 : -1.0, per_cell = 1.0 / (u1 - u0);
  const double last = u1 > u0 ? std::floor(u1) : std::ceil(u1);
  for (double k = u1 > u0 ? std::ceil(u0) : std::floor(u0); step * (last - k) >= 0.0; k += step) {
    line.push_back({(k - u0) * per_cell, 0.0});
  }
  std::inplace_merge(line.begin(), line.begin() + before, line.end(),
                     [](const GroundPoint& p, const GroundPoint& q) { return p.share < q.share; });
}

constexpr double bend_m = 0.001;  // flat ground that bends less under a path is a plane

/// Flat ground bends with the Earth under a long path: points so close that it bends by less than
/// bend_m between them.
void follow_earth(const Ground& ground, ScenePoint a, ScenePoint b,
                  std::vector<GroundPoint>& line) {
  const double length = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
  const double step = std::sqrt(8.0 * bend_m * ground.effective_earth_radius_m);
  const int pieces = static_cast<int>(std::ceil(length / step));
  for (int k = 1; k < pieces; ++k) {
    const double share = static_cast<double>(k) / pieces;
    const ScenePoint on_ray = a + share * (b - a);
    line.push_back({share, ground.height_at(on_ray.x_m, on_ray.y_m) - on_ray.z_m});
  }
  std::sort(line.begin(), line.end(),
            [](const GroundPoint& p, const GroundPoint& q) { return p.share < q.share; });
}

}  // namespace

void ground_line(const Ground& ground, ScenePoint a, ScenePoint b, std::vector<GroundPoint>& line) {
  line.clear();
  if (ground.grid.empty()) {
    // h(s)/sqrt(s(L-s)) with h linear is least where h(s) meets s L = h1/(h1+h2), the specular
    // point.
    const double length = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
    const double h1 = a.z_m - ground.height_at(a.x_m, a.y_m),
                 h2 = b.z_m - ground.height_at(b.x_m, b.y_m);
    const double share = h1 > 0.0 && h2 > 0.0 ? h1 / (h1 + h2) : 0.5;
    const ScenePoint on_ray = a + share * (b - a);
    line.push_back({share, ground.height_at(on_ray.x_m, on_ray.y_m) - on_ray.z_m});
    if (length * length / (8.0 * ground.effective_earth_radius_m) > bend_m) {
      follow_earth(ground, a, b, line);
    }
    return;
  }
  const GridSpec& spec = ground.grid.spec;
  const auto col = [&](ScenePoint p) { return (p.x_m - spec.west_m) / spec.cell_x_m - 0.5; };
  const auto row = [&](ScenePoint p) { return (spec.north_m - p.y_m) / spec.cell_y_m - 0.5; };
  merge_whole_numbers(col(a), col(b), line);
  merge_whole_numbers(row(a), row(b), line);
  // the diagonals from south-west to north-east
  merge_whole_numbers(col(a) + row(a), col(b) + row(b), line);
  for (GroundPoint& p : line) {
    const ScenePoint on_ray = a + p.share * (b - a);
    p.above_m = ground.height_at(on_ray.x_m, on_ray.y_m) - on_ray.z_m;
  }
  std::erase_if(line, [](const GroundPoint& p) { return std::isnan(p.above_m); });
}

}  // namespace sim
