#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/report/explained_files.h"
#include "sim/report/explained_walks.h"
#include "sim/report/summary_parts.h"
#include "sim/report/survey_summary.h"

namespace sim {
namespace {

Json residuals_of(const Scene& scene, const Explanation& explanation) {
  Json json{{"compared", explanation.compared},
            {"median_db", rounded(explanation.median_residual_db, 2)},
            {"spread_db", rounded(explanation.residual_spread_db, 2)}};
  Json offsets = Json::object();
  for (std::size_t n = 0; n < scene.nodes.size(); ++n) {
    offsets[scene.nodes[n].id] = rounded(explanation.level_offset_db[n], 1);
  }
  json["level_offset_db"] = offsets;
  return json;
}

Json causes_of(const Explanation& explanation) {
  std::map<std::string, std::size_t> counts;
  for (const ExplainedPoint& p : explanation.points) ++counts[std::string(to_string(p.cause))];
  return counts;
}

Json place_of(const std::optional<Xy>& place) {
  if (!place) return nullptr;
  return {{"x_m", rounded(place->x, 2)}, {"y_m", rounded(place->y, 2)}};
}

Json drops_of(const std::vector<MeasuredDrop>& drops) {
  Json list = Json::array();
  for (const MeasuredDrop& d : drops) {
    list.push_back({{"survey", d.survey},
                    {"run", d.run},
                    {"first_row", d.first_row},
                    {"last_row", d.last_row},
                    {"from", place_of(d.from)},
                    {"to", place_of(d.to)},
                    {"walked_m", rounded(d.walked_m, 1)}});
  }
  return list;
}

Json suspects_of(const Scene& scene, const Explanation& explanation) {
  Json list = Json::array();
  for (const Suspect& s : explanation.suspects) {
    const MapPoint place = scene.frame.map_from_scene(s.place);
    list.push_back({{"place", place_of(Xy{place.x_m, place.y_m})},
                    {"node", scene.nodes[s.node].id},
                    {"likelihood", rounded(s.likelihood, 3)},
                    {"width_m", rounded(s.width_m, 1)},
                    {"height_m", rounded(s.height_m, 1)},
                    {"points", s.points.size()},
                    {"enough_evidence", s.enough_evidence}});
  }
  return list;
}

/// What the survey and the site together cannot tell.
Json limits_of(const Scene& scene, const Explanation& explanation) {
  Json limits = Json::array();
  if (scene.nodes.empty()) {
    limits.push_back("No node is known: no ray could be cast, so no point has a cause.");
  }
  if (explanation.compared == 0) {
    limits.push_back("No row has a measured RSRP beside a prediction: there are no residuals.");
  }
  for (std::size_t n = 0; n < scene.nodes.size(); ++n) {
    const double offset = explanation.level_offset_db[n];
    if (offset == 0.0) continue;
    limits.push_back(fmt::format(
        "Levels of node {} are {:.0f} dB {} than expected even where nothing stands in the way: "
        "its "
        "eirp_dbm or the phone's gain in the site is probably off. Causes allow for it.",
        scene.nodes[n].id, std::abs(offset), offset < 0.0 ? "lower" : "higher"));
  }
  std::size_t unmapped = 0;
  for (const ExplainedPoint& p : explanation.points) unmapped += p.reading == Reading::weaker;
  const bool found = std::any_of(explanation.suspects.begin(), explanation.suspects.end(),
                                 [](const Suspect& s) { return s.enough_evidence; });
  if (unmapped > 0 && !found) {
    limits.push_back(fmt::format(
        "{} weaker than the map explains, but there is not enough evidence to say where something "
        "is missing from it: measure on both sides of the weak places, and past them.",
        unmapped == 1 ? "One row is" : fmt::format("{} rows are", unmapped)));
  }
  std::size_t unplaced = 0;
  for (const ExplainedPoint& p : explanation.points) unplaced += p.stand ? 0 : 1;
  if (unplaced > 0) {
    limits.push_back(std::to_string(unplaced) + (unplaced == 1 ? " row has" : " rows have") +
                     " no place on the site's ground.");
  }
  return limits;
}

}  // namespace

std::string explanation_summary_json(const ImportedSite& imported, const Scene& scene,
                                     const Survey& survey, const std::vector<MeasuredDrop>& drops,
                                     const Explanation& explanation, const PredictOptions& options,
                                     const Stamp& stamp) {
  Json json = head_of(stamp, scene);
  json["radius_m"] = options.radius_m;
  json["receiver_height_agl_m"] = options.receiver_height_agl_m;
  json["rows"] = explanation.points.size();
  json["residuals"] = residuals_of(scene, explanation);
  json["points_by_cause"] = causes_of(explanation);
  json["measured_drops"] = drops_of(drops);
  json["repeats"] = repeats_json(survey);
  json["pairs"] = pairs_json(survey, explanation);
  json["set_aside"] = set_aside_json(survey);
  json["drop_stretches"] = drop_stretches_of(scene, explanation);
  json["repeated_places"] = repeated_places_of(scene, explanation);
  json["suspects"] = suspects_of(scene, explanation);
  json["limits"] = limits_of(scene, explanation);
  close_survey_summary(json, imported, scene, survey);
  return json.dump(2) + "\n";
}

}  // namespace sim
