// A walk past an obstacle that the map lacks.
#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "sim/predict/prediction.h"
#include "tests/explain/truth_phone.h"
#include "tests/explain/truth_site.h"
#include "tests/explain/truth_street.h"

namespace sim::test {
namespace {

/// A phone lists every node it hears; along a street that is farther than it is served from.
constexpr double in_range_m = 200.0, past_m = 45.0, apart_m = 7.0, taken_db = 8.0;

/// Two or three nodes on alternate kerbs; houses, posts and trees as everywhere.
ImportedSite nodes_along(Dice& dice) {
  ImportedSite site = invented_street(dice).site;
  NodeRecord first = site.nodes[0];
  first.sectors[0].pattern = "isotropic";
  site.nodes.clear();
  double x = 0.0;
  for (int k = 0; k < 3; ++k) {
    NodeRecord node = first;
    node.id = fmt::format("node {}", k + 1);
    node.place = {x, k % 2 == 0 ? -6.5 : 6.5};
    node.height_agl_m = dice.between(5.0, 9.0);
    site.nodes.push_back(node);
    x += dice.between(70.0, 110.0);
  }
  return site;
}

/// One pass along a footway, with what the phone shows of every node in range: at each place all of
/// them at once, as a phone logs its cells.
void walk(HiddenSite& site, const Street& truth, const Street& map, int pass,
          const PhoneErrors& errors, std::vector<int>& taken_of, Dice& dice) {
  constexpr double walked_m_per_s = 1.3, between_passes_s = 600.0;
  const double side = pass % 2 == 0 ? -1.0 : 1.0;
  std::vector<ScenePoint> places;
  for (double x = site.hidden.x_m - past_m; x <= site.hidden.x_m + past_m; x += apart_m) {
    places.push_back({x + dice.between(-1.0, 1.0), side * dice.between(7.8, 9.0), 1.5});
  }
  // The error of a position strays slowly along a walk, as shadowing does.
  const double sigma_m = errors.accuracy_m / std::sqrt(-2.0 * std::log(0.32));
  const std::vector<double> east = shadowing_db(places, sigma_m, dice);
  const std::vector<double> north = shadowing_db(places, sigma_m, dice);
  std::vector<std::vector<double>> shadow;
  for (NodeIndex n = 0; n < site.map.nodes.size(); ++n) {
    shadow.push_back(shadowing_db(places, errors.shadow_sigma_db, dice));
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    ScenePoint reported = places[i];
    reported.x_m += east[i];
    reported.y_m += north[i];
    for (NodeIndex n = 0; n < site.map.nodes.size(); ++n) {
      if (horizontal_distance_m(truth.scene.nodes[n].position, places[i]) > in_range_m) continue;
      const LinkResult link = link_at(truth, places[i], ReceiverContext::outdoor, n);
      const LinkResult open = link_at(map, places[i], ReceiverContext::outdoor, n);
      const bool taken = open.rsrp - link.rsrp > Db(taken_db) && open.sight != Sight::nlos;
      taken_of[n] += taken ? 1 : 0;
      Measurement row = phone_row(truth, link, reported, errors, shadow[n][i], 1.0, dice);
      row.run = fmt::format("pass {}", pass + 1);
      row.time_s = pass * between_passes_s + static_cast<double>(i) * apart_m / walked_m_per_s;
      site.survey.measurements.push_back(std::move(row));
    }
  }
}

}  // namespace

HiddenSite hidden_site(std::uint64_t seed) {
  Dice dice(seed * 1000003ULL + 77ULL);
  for (int tries = 0; tries < 200; ++tries) {
    HiddenSite site;
    site.map = nodes_along(dice);
    site.truth = site.map;
    const Xy middle{dice.between(30.0, site.map.nodes[2].place.x - 30.0),
                    (dice.chance(0.5) ? 1.0 : -1.0) * dice.between(4.0, 5.2)};
    ObjectRecord hidden;
    hidden.id = "hidden";
    hidden.kind = dice.chance(0.7) ? ObjectKind::truck : ObjectKind::kiosk;
    hidden.place = middle;
    hidden.length_m = dice.between(5.0, 10.0);
    hidden.width_m = 2.5;
    hidden.height_m = dice.between(2.8, 4.0);
    hidden.heading = Angle::degrees(90.0 + dice.between(-5.0, 5.0));
    hidden.material = "metal";
    hidden.source = {"invented", "objects", 999};
    site.truth.objects.push_back(hidden);

    const Street truth(site.truth), map(site.map);
    site.hidden = truth.scene.frame.scene_from_map({middle.x, middle.y, 0.0});
    const PhoneErrors errors = phone_errors(dice);
    // Who is surprised walks by again: each footway twice, each pass with its own errors.
    std::vector<int> taken_of(site.map.nodes.size(), 0);
    for (int pass = 0; pass < 4; ++pass) walk(site, truth, map, pass, errors, taken_of, dice);
    for (const int taken : taken_of) site.rays_taken += taken;
    // Rays of one node fan out and tell the bearing alone; six that cross are three of each of two.
    const auto nodes =
        std::count_if(taken_of.begin(), taken_of.end(), [](int n) { return n >= 3; });
    if (nodes >= 2) return site;
  }
  throw std::runtime_error("no site with a hidden obstacle");
}

}  // namespace sim::test
