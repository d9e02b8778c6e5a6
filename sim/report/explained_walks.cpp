#include "sim/report/explained_walks.h"

#include <cmath>

#include "sim/report/answers.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

Json place_of(const std::optional<Xy>& place) {
  if (!place) return nullptr;
  return {{"x_m", rounded(place->x, 2)}, {"y_m", rounded(place->y, 2)}};
}

Json predicted_of(const Explanation& explanation, const ExplainedDrop& drop) {
  if (!drop.predicted) return nullptr;
  const auto row = [&](std::size_t i) { return explanation.points[i].measurement.row; };
  return {{"first_row", row(drop.predicted->first)},
          {"last_row", row(drop.predicted->last)},
          {"from", place_of(drop.predicted_from)},
          {"to", place_of(drop.predicted_to)}};
}

}  // namespace

Json drop_stretches_of(const Scene& scene, const Explanation& explanation) {
  Json list = Json::array();
  for (const ExplainedDrop& drop : explanation.drops) {
    const auto row = [&](std::size_t i) { return explanation.points[i].measurement.row; };
    Json one{{"survey", drop.survey},
             {"run", drop.run},
             {"first_row", row(drop.measured.first)},
             {"last_row", row(drop.measured.last)},
             {"from", place_of(drop.from)},
             {"to", place_of(drop.to)},
             {"walked_m", rounded(drop.walked_m, 1)},
             {"regained", drop.regained},
             {"predicted", predicted_of(explanation, drop)}};
    // Without a node in range nothing was predicted, and nothing can be said about why.
    one["agreement"] = drop.comparable ? Json(rounded(drop.agreement, 3)) : Json(nullptr);
    one["cause"] = drop.comparable ? Json(to_string(drop.cause)) : Json(nullptr);
    if (drop.cause_obstacle != no_obstacle) one["cause_id"] = cause_id(scene, drop.cause_obstacle);
    one["confidence"] = rounded(drop.confidence, 3);
    list.push_back(std::move(one));
  }
  return list;
}

Json repeated_places_of(const Explanation& explanation) {
  Json places = Json::array();
  for (const WalkedPlace& place : explanation.walked_places) {
    if (place.passes.size() < 2) continue;
    std::size_t rows = 0, connected = 0;
    for (const auto& [walk, pass] : place.passes) {
      rows += pass.rows;
      connected += pass.connected;
    }
    places.push_back({{"place", place_of(place.middle)},
                      {"walks", place.passes.size()},
                      {"walks_dropped", place.dropped()},
                      {"connected_share",
                       rounded(static_cast<double>(connected) / static_cast<double>(rows), 3)}});
  }
  Json walks = Json::array();
  for (const WalkAgreement& pair : walk_agreements(explanation.walked_places)) {
    if (std::isnan(pair.correlation)) continue;
    walks.push_back({{"walks", {pair.one, pair.other}},
                     {"places", pair.places},
                     {"correlation", rounded(pair.correlation, 3)}});
  }
  return {{"cell_m", walked_cell_m}, {"places", places}, {"walks_compared", walks}};
}

}  // namespace sim
