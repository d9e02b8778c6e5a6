#include "sim/report/explained_walks.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/report/answers.h"
#include "sim/report/explained_files.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

/// Places on the map and in degrees, for whoever has no map in metres.
class Places {
 public:
  explicit Places(const Scene& scene)
      : to_degrees_(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84()) {}
  Json operator()(const std::optional<Xy>& place) const {
    if (!place) return nullptr;
    Json at{{"x_m", rounded(place->x, 2)}, {"y_m", rounded(place->y, 2)}};
    if (const auto degrees = to_degrees_(*place)) {
      at["lon"] = rounded(degrees->x, 6);
      at["lat"] = rounded(degrees->y, 6);
    }
    return at;
  }

 private:
  CrsTransform to_degrees_;
};

Json predicted_of(const Explanation& explanation, const ExplainedDrop& drop,
                  const Places& place_of) {
  if (!drop.predicted) return nullptr;
  const auto row = [&](std::size_t i) { return explanation.points[i].measurement.row; };
  return {{"first_row", row(drop.predicted->first)},
          {"last_row", row(drop.predicted->last)},
          {"from", place_of(drop.predicted_from)},
          {"to", place_of(drop.predicted_to)}};
}

}  // namespace

Json drop_stretches_of(const Scene& scene, const Explanation& explanation) {
  const Places place_of(scene);
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
             {"predicted", predicted_of(explanation, drop, place_of)}};
    // Without a node in range nothing was predicted, and nothing can be said about why.
    one["agreement"] = drop.comparable ? Json(rounded(drop.agreement, 3)) : Json(nullptr);
    one["cause"] = drop.comparable ? Json(to_string(drop.cause)) : Json(nullptr);
    if (drop.cause_obstacle != no_obstacle) one["cause_id"] = cause_id(scene, drop.cause_obstacle);
    one["confidence"] = rounded(drop.confidence, 3);
    list.push_back(std::move(one));
  }
  return list;
}

std::vector<std::string> walk_sentences(const Explanation& explanation) {
  std::vector<std::string> sentences;
  const auto counted = [](std::size_t count, const std::string& thing) {
    return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
  };
  std::size_t regained = 0;
  for (const ExplainedDrop& drop : explanation.drops) regained += drop.regained ? 1U : 0U;
  if (!explanation.drops.empty()) {
    sentences.push_back(fmt::format("The link was lost on {} of the walks and came back after {}",
                                    explanation.drops.size() == 1
                                        ? std::string("1 stretch")
                                        : fmt::format("{} stretches", explanation.drops.size()),
                                    regained));
  }
  std::size_t passed = 0, always = 0, never = 0;
  for (const WalkedPlace& place : explanation.walked_places) {
    if (place.passes.size() < 2) continue;
    ++passed;
    always += place.dropped() == place.passes.size() ? 1U : 0U;
    never += place.dropped() == 0 ? 1U : 0U;
  }
  if (passed > 0) {
    sentences.push_back(fmt::format(
        "{} of {:.0f} m were walked more than once: in {} the link dropped each time, in {} never, "
        "in {} now and then",
        counted(passed, "place"), walked_cell_m, always, never, passed - always - never));
  }
  return sentences;
}

Json repeated_places_of(const Scene& scene, const Explanation& explanation) {
  const Places place_of(scene);
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
