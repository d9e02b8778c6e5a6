#include "sim/plan/sight_margin.h"

#include <cmath>
#include <numbers>

namespace sim {
namespace {

constexpr double ring_m = 0.1;

Transparent all_but_own_pole(const Node& node) {
  return {.blocking = everything_mask, .ignored = node.own_poles};
}

}  // namespace

bool in_sight(const RayCaster& caster, NodeIndex node, ScenePoint phone) {
  const Node& n = caster.scene().nodes[node];
  return caster.is_clear(n.position, phone, all_but_own_pole(n));
}

SightMargin sight_margin(const RayCaster& caster, const FootprintIndex& footprints, NodeIndex node,
                         ScenePoint phone, double height_agl_m, double look_m) {
  const Scene& scene = caster.scene();
  const int rings = static_cast<int>(std::lround(look_m / ring_m));
  for (int ring = 1; ring <= rings; ++ring) {
    const double r = ring * ring_m;
    const auto rays = static_cast<int>(std::ceil(2.0 * std::numbers::pi * r / ring_m)) + 8;
    double east = 0.0, north = 0.0;  // towards the blocked places of this ring, together
    std::optional<ScenePoint> blocked;
    for (int i = 0; i < rays; ++i) {
      const double turn = 2.0 * std::numbers::pi * i / rays;
      ScenePoint p{phone.x_m + r * std::cos(turn), phone.y_m + r * std::sin(turn), 0.0};
      const double ground = scene.ground.height_at(p.x_m, p.y_m);
      if (std::isnan(ground) || footprints.building_at(p.x_m, p.y_m)) continue;
      p.z_m = ground + height_agl_m;
      if (in_sight(caster, node, p)) continue;
      if (!blocked) blocked = p;
      east += std::cos(turn);
      north += std::sin(turn);
    }
    if (!blocked) continue;
    SightMargin margin{.margin_m = (ring - 1) * ring_m};
    ScenePoint towards{phone.x_m + east, phone.y_m + north, 0.0};
    if (std::hypot(east, north) < 1e-9) towards = *blocked;
    margin.not_towards = scene.frame.true_azimuth(phone, towards);
    const Node& n = scene.nodes[node];
    const auto crossings = caster.crossings(n.position, *blocked, all_but_own_pole(n));
    if (!crossings.empty()) margin.blocker = crossings.back().obstacle;
    return margin;
  }
  return {.margin_m = rings * ring_m, .at_least = true};
}

}  // namespace sim
