#include <map>

#include "sim/report/fit_files.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

Json value_json(const SurveyFit& fit, std::size_t k) {
  const FittedValue& value = fit.values[k];
  const Unknown& u = value.unknown;
  constexpr int digits = 3;
  Json json{{"name", u.name}, {"unit", u.unit}};
  if (u.is_angle() || u.quantity == FitQuantity::eirp) {
    json["node"] = fit.site_nodes[u.node].id;
    json["sector"] =
        u.whole_node ? Json(nullptr) : Json(fit.site_nodes[u.node].sectors[u.sector].id);
  }
  json["site"] = rounded(u.site, digits);
  json["value"] = rounded(value.value, digits);
  json["low"] = rounded(value.low, digits);
  json["high"] = rounded(value.high, digits);
  json["held"] = value.held.has_value();
  Json apart = Json::array();
  if (value.held && value.held->group.size() > 1) {
    for (const std::size_t other : value.held->group) {
      if (other != k) apart.push_back(fit.values[other].unknown.name);
    }
  }
  json["not_told_apart_from"] = apart;
  json["at_bound"] = value.at_bound;
  return json;
}

Json error_json(const FitError& error) {
  return {{"rms_db", rounded(error.rms_db, 2)}, {"mean_abs_db", rounded(error.mean_abs_db, 2)}};
}

Json measure_json(const Scene& scene, const SurveyFit& fit) {
  Json list = Json::array();
  for (const PointToMeasure& point : fit.next.points) {
    const Xy at = degrees_of(scene, point.place);
    list.push_back({{"lon", rounded(at.x, 7)},
                    {"lat", rounded(at.y, 7)},
                    {"street", point.street},
                    {"node", scene.nodes[point.node].id},
                    {"distance_m", rounded(point.distance_m, 1)},
                    {"azimuth_deg", rounded(point.azimuth.degrees(), 1)}});
  }
  return list;
}

Json position_json(const Scene& scene, const SurveyFit& fit) {
  if (!fit.position) return nullptr;
  const PositionSearch& search = *fit.position;
  Json ranking = Json::array();
  constexpr std::size_t most = 20;
  for (std::size_t i = 0; i < std::min(most, search.ranking.size()); ++i) {
    const RankedPlace& ranked = search.ranking[i];
    const Xy at = degrees_of(scene, ranked.place.position);
    ranking.push_back({{"place", ranked.place.id},
                       {"lon", rounded(at.x, 7)},
                       {"lat", rounded(at.y, 7)},
                       {"likelihood", rounded(ranked.likelihood, 4)},
                       {"cost", rounded(ranked.cost, 2)},
                       {"azimuth_deg", rounded(ranked.azimuth_deg, 1)},
                       {"eirp_offset_db", rounded(ranked.eirp_offset_db, 1)}});
  }
  return {{"node", fit.site_nodes[search.node].id},
          {"places", search.by_poles ? "mapped poles" : "every 10 m along the streets"},
          {"tried", search.ranking.size()},
          {"not_tried", search.not_tried},
          {"moved", search.moved},
          {"ranking", ranking}};
}

Json rows_json(const SurveyFit& fit) {
  std::map<std::string, std::size_t> left_out;
  for (const LeftOut& row : fit.left_out) ++left_out[row.why];
  std::size_t far_off = 0;
  for (const FitRow& row : fit.rows) far_off += row.counts < 0.1 ? 1U : 0U;
  return {{"with_level", fit.levels},
          {"connected_or_lost_only", fit.bounds},
          {"worth_independent", rounded(fit.effective_rows, 1)},
          {"too_far_off_to_count", far_off},
          {"left_out", left_out}};
}

Json fit_body(const Scene& scene, const SurveyFit& fit, LengthUnits units) {
  Json values = Json::array();
  for (std::size_t k = 0; k < fit.values.size(); ++k) values.push_back(value_json(fit, k));
  Json said = Json::array();
  said.push_back(error_sentence(fit));
  for (const std::string& s : position_sentences(scene, fit, units)) said.push_back(s);
  for (const FittedValue& value : fit.values) {
    if (!value.held) said.push_back(value_sentence(value, fit.confidence) + ".");
  }
  for (const std::string& s : held_sentences(fit)) said.push_back(s);
  for (const std::string& s : measure_sentences(scene, fit, units)) said.push_back(s);
  return {{"confidence", fit.confidence},
          {"values", values},
          {"errors",
           {{"before", error_json(fit.before)},
            {"after", error_json(fit.after)},
            {"unseen_before", error_json(fit.unseen.before)},
            {"unseen_after", error_json(fit.unseen.after)},
            {"places", fit.unseen.places},
            {"folds", fit.unseen.folds},
            {"improves", fit.unseen.improves}}},
          {"residual_scale", rounded(fit.residual_scale, 3)},
          {"rows", rows_json(fit)},
          {"measure", measure_json(scene, fit)},
          {"position", position_json(scene, fit)},
          {"sentences", said}};
}

}  // namespace

std::string fit_json(const Scene& scene, const SurveyFit& fit, const Stamp& stamp,
                     LengthUnits units) {
  Json json = head_of(stamp, scene);
  json.update(fit_body(scene, fit, units));
  return json.dump(2) + "\n";
}

std::string fit_summary_json(const ImportedSite& imported, const Scene& scene, const Survey& survey,
                             const SurveyFit& fit, const Stamp& stamp, LengthUnits units) {
  Json json = head_of(stamp, scene);
  json["fit"] = fit_body(scene, fit, units);
  close_survey_summary(json, imported, scene, survey);
  return json.dump(2) + "\n";
}

}  // namespace sim
