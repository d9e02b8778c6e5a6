#include "sim/explain/street_directions.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

// Common practice, no source.
constexpr double near_m = 30.0;
constexpr double least_wall_m = 4.0;  ///< shorter ones are corners and bays

double distance_m(ScenePoint a, ScenePoint b, double x_m, double y_m) {
  const double east = b.x_m - a.x_m, north = b.y_m - a.y_m;
  const double along =
      ((x_m - a.x_m) * east + (y_m - a.y_m) * north) / std::max(east * east + north * north, 1e-12);
  const double t = std::clamp(along, 0.0, 1.0);
  return std::hypot(a.x_m + t * east - x_m, a.y_m + t * north - y_m);
}

}  // namespace

StreetDirections::StreetDirections(const Scene& scene, double west_m, double south_m, double east_m,
                                   double north_m) {
  const auto add = [&](ScenePoint a, ScenePoint b, double least_m) {
    if (std::max(a.x_m, b.x_m) < west_m - near_m || std::min(a.x_m, b.x_m) > east_m + near_m ||
        std::max(a.y_m, b.y_m) < south_m - near_m || std::min(a.y_m, b.y_m) > north_m + near_m) {
      return;
    }
    if (horizontal_distance_m(a, b) >= least_m) lines_.push_back({a, b});
  };
  for (const Street& street : scene.streets) {
    for (std::size_t i = 1; i < street.line.size(); ++i) {
      add(street.line[i - 1], street.line[i], 0.1);
    }
  }
  for (const BuildingOutline& outline : scene.outlines) {
    for (const auto& rings : outline.polygons) {
      for (std::size_t i = 0; i < rings[0].size(); ++i) {
        add(rings[0][i], rings[0][(i + 1) % rings[0].size()], least_wall_m);
      }
    }
  }
}

std::optional<PlanDirection> StreetDirections::at(double x_m, double y_m) const {
  const Line* nearest = nullptr;
  double least = near_m;
  for (const Line& line : lines_) {
    const double away = distance_m(line.from, line.to, x_m, y_m);
    if (away >= least) continue;
    least = away;
    nearest = &line;
  }
  if (nearest == nullptr) return std::nullopt;
  const ScenePoint d = nearest->to - nearest->from;
  const double length = std::hypot(d.x_m, d.y_m);
  return PlanDirection{d.x_m / length, d.y_m / length};
}

}  // namespace sim
