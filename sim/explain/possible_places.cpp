#include "sim/explain/possible_places.h"

#include <cmath>
#include <numbers>

#include "sim/explain/serving_link.h"

namespace sim {
namespace {

constexpr int places_about = 60;
constexpr double no_circle_m = 0.05;  ///< nearer than this the place is as good as known

}  // namespace

std::vector<PossiblePlace> possible_places(const RayCaster& caster,
                                           const FootprintIndex& footprints,
                                           const ReceiverPoint& reported, double accuracy_m,
                                           const std::string& node_id, const LinkSettings& settings,
                                           const PredictOptions& options) {
  const Scene& scene = caster.scene();
  std::vector<PossiblePlace> places;
  auto link = serving_link(caster, reported.receiver, node_id, settings, options);
  if (!link) return places;
  const ScenePoint middle = reported.receiver.position;
  const bool indoors = footprints.building_at(middle.x_m, middle.y_m).has_value();
  places.push_back({reported, std::move(*link)});
  if (accuracy_m < no_circle_m) return places;
  const double sigma_m = accuracy_m / std::sqrt(-2.0 * std::log(1.0 - 0.68));
  // Equal shares of the distribution, turned by the golden angle: even, and without a direction.
  const double golden = std::numbers::pi * (3.0 - std::sqrt(5.0));
  for (int k = 0; k < places_about; ++k) {
    const double share = (k + 0.5) / places_about;
    const double radius = sigma_m * std::sqrt(-2.0 * std::log(1.0 - share));
    ReceiverPoint stand = reported;
    ScenePoint& p = stand.receiver.position;
    p.x_m += radius * std::cos(golden * k);
    p.y_m += radius * std::sin(golden * k);
    const double ground = scene.ground.height_at(p.x_m, p.y_m);
    if (std::isnan(ground) || (!indoors && footprints.building_at(p.x_m, p.y_m))) continue;
    p.z_m = ground + stand.height_agl_m;
    link = serving_link(caster, stand.receiver, node_id, settings, options);
    if (link) places.push_back({std::move(stand), std::move(*link)});
  }
  return places;
}

}  // namespace sim
