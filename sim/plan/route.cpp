#include "sim/plan/route.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

double apart(Xy a, Xy b) { return std::hypot(a.x - b.x, a.y - b.y); }

/// From one place to another by the streets: stand, foot, centre lines, foot, stand; straight where
/// no street leads.
struct Leg {
  std::vector<Xy> line;
  bool by_street = true;
};
Leg leg_between(const StreetGraph& graph, const Foot& a, Xy from, const Foot& b, Xy to) {
  const Walks walks = graph.walks_from(a);
  std::vector<Xy> path = graph.path(walks, b);
  if (path.empty()) return {{from, to}, false};
  std::vector<Xy> line{from};
  line.insert(line.end(), path.begin(), path.end());
  line.push_back(to);
  return {line, true};
}

}  // namespace

WalkTable walk_table(const StreetGraph& graph, const std::vector<Foot>& feet,
                     const std::vector<Xy>& places) {
  const std::size_t n = feet.size();
  WalkTable table{std::vector<std::vector<double>>(n, std::vector<double>(n, 0.0)),
                  std::vector<std::vector<bool>>(n, std::vector<bool>(n, true))};
  for (std::size_t i = 0; i < n; ++i) {
    const Walks walks = graph.walks_from(feet[i]);
    for (std::size_t j = 0; j < i; ++j) {
      double d = feet[i].off_m + graph.distance_m(walks, feet[j]) + feet[j].off_m;
      const bool by_street = std::isfinite(d);
      if (!by_street) d = apart(places[i], places[j]);
      table.distance_m[i][j] = table.distance_m[j][i] = d;
      table.by_street[i][j] = table.by_street[j][i] = by_street;
    }
  }
  return table;
}

Route lay_out(const Scene& scene, const StreetGraph& graph, const std::vector<Foot>& feet,
              const std::vector<Xy>& stands) {
  Route route;
  const auto on_ground = [&](Xy p) {
    return ScenePoint{p.x, p.y, scene.ground.height_at(p.x, p.y)};
  };
  if (stands.empty()) return route;
  route.line.push_back(on_ground(stands.front()));
  for (std::size_t i = 0; i + 1 < stands.size(); ++i) {
    const Leg leg = leg_between(graph, feet[i], stands[i], feet[i + 1], stands[i + 1]);
    for (std::size_t k = 1; k < leg.line.size(); ++k) {
      const double length = apart(leg.line[k - 1], leg.line[k]);
      if (length < 1e-9) continue;
      if (!leg.by_street) route.off_street_m += length;
      route.length_m += length;
      route.line.push_back(on_ground(leg.line[k]));
    }
    route.reached_m.push_back(route.length_m);
  }
  constexpr double sample_m = 10.0;
  double last = route.line.front().z_m;
  for (std::size_t i = 0; i + 1 < route.line.size(); ++i) {
    const ScenePoint a = route.line[i], b = route.line[i + 1];
    const double length = horizontal_distance_m(a, b);
    const int parts = std::max(1, static_cast<int>(std::lround(length / sample_m)));
    for (int k = 1; k <= parts; ++k) {
      const double t = static_cast<double>(k) / parts;
      const Xy at{a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)};
      const double height = scene.frame.map_from_scene(on_ground(at)).z_m - scene.frame.origin.z_m;
      if (std::isnan(height)) continue;
      if (!std::isnan(last) && height > last) route.climb_m += height - last;
      last = height;
    }
  }
  return route;
}

double walking_time_s(double length_m, double climb_m, const Defaults& defaults) {
  return length_m / defaults("walking_speed_m_per_s") + climb_m / defaults("walking_climb_m_per_s");
}

}  // namespace sim
