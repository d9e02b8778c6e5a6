#include "sim/explain/shortest_step.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/predict/serving_link.h"

namespace sim {
namespace {

constexpr double near_m = 5.0;  ///< rings are finer up to here
constexpr int far_directions = 32;
constexpr double knee_m = 0.4, chest_m = 1.2;
constexpr Db safe_side{3.0};                ///< over the level that regains; a phone's own spread
constexpr double negligible_share = 0.005;  ///< of all: places not asked

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

class Search {
 public:
  Search(const RayCaster& caster, const FootprintIndex& footprints, const std::string& node_id,
         const LinkSettings& settings, const PredictOptions& options, Dbm least)
      : caster_(caster),
        footprints_(footprints),
        node_id_(node_id),
        settings_(settings),
        options_(options),
        least_(least) {}

  /// Whether the step brings the link back from there.
  bool helps(const ReceiverPoint& from, ScenePoint step) const {
    const Scene& scene = caster_.scene();
    ScenePoint feet = from.receiver.position;
    feet.z_m -= from.height_agl_m;
    ScenePoint p = feet + step;
    p.z_m = scene.ground.height_at(p.x_m, p.y_m);
    if (std::isnan(p.z_m) || footprints_.building_at(p.x_m, p.y_m)) return false;
    Receiver there = from.receiver;
    there.position = p;
    there.position.z_m += from.height_agl_m;
    const auto link = serving_link(caster_, there, node_id_, settings_, options_);
    return link && link->rsrp >= least_ && can_walk(caster_, feet, p);
  }

 private:
  const RayCaster& caster_;
  const FootprintIndex& footprints_;
  const std::string& node_id_;
  const LinkSettings& settings_;
  const PredictOptions& options_;
  Dbm least_;
};

/// Likeliest first, those that hardly count left out; the shares then sum to 1.
void sort_by_share(std::vector<StartingPlace>& from) {
  double all = 0.0;
  for (const StartingPlace& p : from) all += p.share;
  if (all <= 0.0) {  // nothing is known of it: the reported place
    from.resize(1);
    from[0].share = all = 1.0;
  }
  std::erase_if(from, [&](const StartingPlace& p) { return p.share < negligible_share * all; });
  std::stable_sort(from.begin(), from.end(), [](const StartingPlace& a, const StartingPlace& b) {
    return a.share > b.share;
  });
  all = 0.0;
  for (const StartingPlace& p : from) all += p.share;
  for (StartingPlace& p : from) p.share /= all;
}

}  // namespace

std::optional<Step> shortest_step(const RayCaster& caster, const FootprintIndex& footprints,
                                  std::vector<StartingPlace> from, const std::string& node_id,
                                  const LinkSettings& settings, const PredictOptions& options) {
  if (from.empty()) return std::nullopt;
  sort_by_share(from);
  // Where one stands is known to the metre at best, so a step is taken well into the light.
  const bool sure_of_place = from.size() == 1;
  const Search search(caster, footprints, node_id, settings, options,
                      sure_of_place ? settings.hold_rsrp : settings.hold_rsrp + safe_side);
  const auto helps_enough = [&](ScenePoint step) {
    double left_out = 0.0;
    for (const StartingPlace& place : from) {
      if (!search.helps(place.stand, step)) left_out += place.share;
      if (left_out > 1.0 - sure_share) return false;
    }
    return true;
  };
  const Scene& scene = caster.scene();
  const ScenePoint middle = from[0].stand.receiver.position;
  for (double radius = 0.5; radius <= farthest_step_m; radius += radius < near_m ? 0.5 : 1.0) {
    const double spacing = radius < near_m ? 0.5 : 1.0;
    int directions = static_cast<int>(std::ceil(2.0 * std::numbers::pi * radius / spacing));
    if (radius >= near_m) directions = std::min(directions, far_directions);
    for (int k = 0; k < directions; ++k) {
      const Angle azimuth = Angle::degrees(360.0 * k / directions);
      const ScenePoint step = radius * scene.frame.direction(azimuth, middle);
      if (!helps_enough(step)) continue;
      return Step{radius * std::sin(azimuth.radians()), radius * std::cos(azimuth.radians())};
    }
  }
  return std::nullopt;
}

}  // namespace sim
