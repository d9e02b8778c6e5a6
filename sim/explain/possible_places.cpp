#include "sim/explain/possible_places.h"

#include <cmath>
#include <numbers>

#include "sim/predict/serving_link.h"

namespace sim {
namespace {

constexpr int places_about = 60;
constexpr double no_circle_m = 0.05;  ///< nearer than this the place is as good as known

}  // namespace

double place_sigma_m(double accuracy_m) {
  return accuracy_m / std::sqrt(-2.0 * std::log(1.0 - 0.68));
}

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
  // Who notes no glass stands in the street, whatever the receiver of positions says.
  const bool in_street = reported.receiver.context != ReceiverContext::behind_glass;
  const auto cannot_be = [&](ScenePoint p) {
    return in_street && footprints.building_at(p.x_m, p.y_m).has_value();
  };
  if (!cannot_be(middle)) places.push_back({reported, *link});
  const double sigma_m = place_sigma_m(accuracy_m);
  // Equal shares of the distribution, turned by the golden angle: even, and without a direction.
  const double golden = std::numbers::pi * (3.0 - std::sqrt(5.0));
  for (int k = 0; k < places_about && accuracy_m >= no_circle_m; ++k) {
    const double share = (k + 0.5) / places_about;
    const double radius = sigma_m * std::sqrt(-2.0 * std::log(1.0 - share));
    ReceiverPoint stand = reported;
    ScenePoint& p = stand.receiver.position;
    p.x_m += radius * std::cos(golden * k);
    p.y_m += radius * std::sin(golden * k);
    const double ground = scene.ground.height_at(p.x_m, p.y_m);
    if (std::isnan(ground) || cannot_be(p)) continue;
    p.z_m = ground + stand.height_agl_m;
    auto there = serving_link(caster, stand.receiver, node_id, settings, options);
    if (there) places.push_back({std::move(stand), std::move(*there)});
  }
  if (places.empty()) places.push_back({reported, std::move(*link)});
  return places;
}

}  // namespace sim
