#include "sim/report/survey_summary.h"

#include "sim/report/survey_files.h"

namespace sim {
namespace {

Json place_of(const std::optional<Xy>& place) {
  if (!place) return nullptr;
  return {{"x_m", rounded(place->x, 2)}, {"y_m", rounded(place->y, 2)}};
}

Json interval_of(const ConfidenceInterval& interval, int decimals) {
  return Json::array({rounded(interval.low, decimals), rounded(interval.high, decimals)});
}

Json spread_of(const RepeatSpread& s) {
  return {{"count", s.count},
          {"median", rounded(s.median, 1)},
          {"lower_quartile", rounded(s.lower_quartile, 1)},
          {"upper_quartile", rounded(s.upper_quartile, 1)},
          {"median_interval", interval_of(s.of_median, 1)}};
}

Json quantity_of(const PairedQuantity& q) {
  Json json{{"reference_count", q.reference_count},
            {"other_count", q.other_count},
            {"reference_median", rounded(q.reference_median, 1)},
            {"other_median", rounded(q.other_median, 1)},
            {"difference", rounded(q.difference, 1)},
            {"difference_interval", interval_of(q.of_difference, 1)},
            {"method", q.method},
            {"ratio", rounded(q.ratio, 3)},
            {"ratio_interval", interval_of(q.of_ratio, 3)},
            {"repeats_needed", nullptr}};
  if (q.repeats_needed) json["repeats_needed"] = *q.repeats_needed;
  return json;
}

}  // namespace

Json repeats_json(const Survey& survey) {
  Json list = Json::array();
  for (const RepeatSummary& r : survey.repeats) {
    list.push_back({{"place", place_of(r.place)},
                    {"name", r.name},
                    {"count", r.count},
                    {"visits", r.visits},
                    {"rsrp_dbm", spread_of(r.rsrp_dbm)},
                    {"downlink_mbps", spread_of(r.downlink_mbps)},
                    {"uplink_mbps", spread_of(r.uplink_mbps)}});
  }
  return list;
}

Json pairs_json(const Survey& survey, const Explanation& explanation) {
  Json list = Json::array();
  for (const MeasuredPair& p : survey.pairs) {
    Json json{{"kind", p.kind == MeasuredPair::Kind::context ? "context" : "facing"},
              {"place", place_of(p.place)},
              {"name", p.name},
              {"node", p.node},
              {"reference", p.reference},
              {"other", p.other}};
    for (const auto& [name, q] :
         {std::pair{"rsrp_dbm", &p.rsrp_dbm}, std::pair{"downlink_mbps", &p.downlink_mbps},
          std::pair{"uplink_mbps", &p.uplink_mbps}}) {
      if (q->reference_count > 0 && q->other_count > 0) json[name] = quantity_of(*q);
    }
    const auto predicted = predicted_pair_db(p, explanation);
    json["predicted_db"] = predicted ? rounded(*predicted, 1) : Json(nullptr);
    json["connected"] = {{"reference", p.reference_connected},
                         {"of_reference", p.reference_known},
                         {"other", p.other_connected},
                         {"of_other", p.other_known}};
    list.push_back(std::move(json));
  }
  return list;
}

Json set_aside_json(const Survey& survey) {
  Json list = Json::array();
  for (const SetAside& s : survey.set_aside) {
    list.push_back({{"survey", s.survey},
                    {"code", s.code},
                    {"what", s.what},
                    {"count", s.rows.size()},
                    {"rows", row_list(s.rows)},
                    {"why", s.why}});
  }
  return list;
}

}  // namespace sim
