#include "sim/explain/shortest_step.h"

#include <cmath>
#include <numbers>

#include "sim/explain/serving_link.h"

namespace sim {
namespace {

constexpr double near_m = 5.0;  ///< rings are finer up to here
constexpr double knee_m = 0.4, chest_m = 1.2;

bool can_walk(const RayCaster& caster, ScenePoint from_ground, ScenePoint to_ground) {
  for (const double height : {knee_m, chest_m}) {
    ScenePoint a = from_ground, b = to_ground;
    a.z_m += height;
    b.z_m += height;
    const Transparent walls{.blocking = opaque_mask & ~mask_of(ObstacleKind::ground),
                            .ignored = {}};
    if (!caster.is_clear(a, b, walls)) return false;
  }
  return true;
}

}  // namespace

std::optional<Step> shortest_step(const RayCaster& caster, const FootprintIndex& footprints,
                                  const ReceiverPoint& from, const std::string& node_id,
                                  const LinkSettings& settings, const PredictOptions& options) {
  const Scene& scene = caster.scene();
  ScenePoint feet = from.receiver.position;
  feet.z_m -= from.height_agl_m;
  for (double radius = 0.5; radius <= farthest_step_m; radius += radius < near_m ? 0.5 : 1.0) {
    const double spacing = radius < near_m ? 0.5 : 1.0;
    const int directions = static_cast<int>(std::ceil(2.0 * std::numbers::pi * radius / spacing));
    for (int k = 0; k < directions; ++k) {
      const Angle azimuth = Angle::degrees(360.0 * k / directions);
      ScenePoint p = feet + radius * scene.frame.direction(azimuth, feet);
      p.z_m = scene.ground.height_at(p.x_m, p.y_m);
      if (std::isnan(p.z_m) || footprints.building_at(p.x_m, p.y_m)) continue;
      Receiver there = from.receiver;
      there.position = p;
      there.position.z_m += from.height_agl_m;
      const auto link = serving_link(caster, there, node_id, settings, options);
      if (!link || link->state != LinkState::hold || !can_walk(caster, feet, p)) continue;
      return Step{radius * std::sin(azimuth.radians()), radius * std::cos(azimuth.radians())};
    }
  }
  return std::nullopt;
}

}  // namespace sim
