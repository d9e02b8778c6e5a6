#include "sim/link/round_foliage.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/loss/knife_edge.h"
#include "sim/loss/two_edges.h"

namespace sim {
namespace {

constexpr double least_gain = 0.02;  // a way that adds less than this is not looked for: 0.09 dB
constexpr double gap_m = 0.05;       // a way round passes the edge at this distance
constexpr double nearest_edge_m = 0.001;  // an edge nearer than this to an end hides it

double power_of(Db loss) { return std::pow(10.0, -loss.value / 10.0); }

/// Ways that pass the given points in turn, closed by anything but the thing itself.
class Ways {
 public:
  Ways(const RayCaster& caster, const PathProfile& path, ObstacleId thing,
       std::span<const ObstacleId> own_poles)
      : caster_(caster), path_(path), passed_(own_poles.begin(), own_poles.end()) {
    passed_.push_back(thing);
  }
  bool open(std::initializer_list<ScenePoint> corners) const {
    ScenePoint from = path_.a;
    for (const ScenePoint corner : corners) {
      if (!clear(from, corner)) return false;
      from = corner;
    }
    return clear(from, path_.b);
  }

 private:
  bool clear(ScenePoint from, ScenePoint to) const {
    return caster_.is_clear(from, to, {.blocking = everything_mask, .ignored = passed_});
  }
  const RayCaster& caster_;
  const PathProfile& path_;
  std::vector<ObstacleId> passed_;
};

double round_crown(const Ways& ways, const PathProfile& path, const Crossing& c,
                   const CrownShape& crown, Frequency f, double worth) {
  const ScenePoint along = (1.0 / path.length_m) * (path.b - path.a);
  const double level = std::hypot(along.x_m, along.y_m);
  // Straight up or down there is no left; any will do, for the crown is round.
  const ScenePoint left = level > 1e-9 ? ScenePoint{-along.y_m / level, along.x_m / level, 0.0}
                                       : ScenePoint{1.0, 0.0, 0.0};
  const ScenePoint up = cross(along, left);
  const ScenePoint middle = path.a + c.outline.above_at_m * along;
  const ScenePoint to_center = crown.center - middle;
  const double half_width = crown.radius_m;
  const double half_height =
      std::hypot(crown.radius_m * up.x_m, crown.radius_m * up.y_m, crown.half_height_m * up.z_m);
  struct Side {
    ScenePoint out;
    double reach_m;
  };
  const std::array<Side, 4> sides{{{left, half_width + dot(to_center, left)},
                                   {-1.0 * left, half_width - dot(to_center, left)},
                                   {up, half_height + dot(to_center, up)},
                                   {-1.0 * up, half_height - dot(to_center, up)}}};
  double share = 0.0;
  for (const auto& [out, reach_m] : sides) {
    const double power = power_of(knife_edge_loss(
        fresnel_parameter(f, c.outline.above_at_m, path.length_m - c.outline.above_at_m, reach_m)));
    if (power < worth || !ways.open({middle + (reach_m + gap_m) * out})) continue;
    share += power;
  }
  return std::min(share, 1.0);
}

double over_canopy(const Ways& ways, const PathProfile& path, const Crossing& c, double top_m,
                   Frequency f, double worth) {
  const auto at = [&](double along_m) {
    return path.a + (along_m / path.length_m) * (path.b - path.a);
  };
  ScenePoint near = at(c.enter_m), far = at(c.exit_m);
  const TwoEdges edges{.a_m = c.enter_m,
                       .b_m = std::max(c.exit_m - c.enter_m, nearest_edge_m),
                       .c_m = path.length_m - c.exit_m,
                       .h1_m = top_m - near.z_m,
                       .h2_m = top_m - far.z_m};
  const double power = power_of(two_edges_dominant_loss(f, edges).loss);
  near.z_m = far.z_m = top_m + gap_m;
  return power >= worth && ways.open({near, far}) ? std::min(power, 1.0) : 0.0;
}

}  // namespace

double share_round_foliage(const RayCaster& caster, const PathProfile& path, const Crossing& c,
                           Frequency f, std::span<const ObstacleId> own_poles, Db through) {
  const bool end_inside = c.enter_m < nearest_edge_m || c.exit_m > path.length_m - nearest_edge_m;
  if (end_inside) return 0.0;
  const double passed = power_of(through);
  if (passed >= 1.0) return 0.0;
  // What the way round adds is (1 - passed) of its power.
  const double worth = least_gain * passed / (1.0 - passed);
  if (worth > 1.0) return 0.0;
  const Obstacle& obstacle = caster.scene().obstacles[c.obstacle];
  const Ways ways(caster, path, c.obstacle, own_poles);
  return obstacle.crown ? round_crown(ways, path, c, *obstacle.crown, f, worth)
                        : over_canopy(ways, path, c, obstacle.top_m, f, worth);
}

}  // namespace sim
