#include "sim/report/cautions.h"
#include "sim/report/compare_files.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

Json interval(const ConfidenceInterval& i, int decimals) {
  if (std::isnan(i.low)) return nullptr;
  return {{"low", rounded(i.low, decimals)}, {"high", rounded(i.high, decimals)}};
}

Json subset_json(const Subset& subset, double bin_m) {
  return {{"situation", subset.situation.empty() ? "any" : subset.situation},
          {"sight", subset.sight ? std::string(to_string(*subset.sight)) : "any"},
          {"from_m", subset.bin ? Json(bin_m * *subset.bin) : Json(nullptr)},
          {"to_m", subset.bin ? Json(bin_m * (*subset.bin + 1)) : Json(nullptr)}};
}

Json measured_json(const MeasuredCell& cell, double bin_m) {
  Json json = subset_json(cell.subset, bin_m);
  json["rows"] = cell.rows;
  json["stretches"] = cell.stretches;
  for (const Measure m : all_measures) {
    const Middle& middle = cell.middles[m];
    if (middle.stretches == 0) continue;
    json[std::string(column_of(m))] = {
        {"rows", middle.rows},
        {"stretches", middle.stretches},
        {"median", rounded(middle.median, 2)},
        {"quartiles", {rounded(middle.lower_quartile, 2), rounded(middle.upper_quartile, 2)}},
        {"median_interval", interval(middle.of_median, 2)}};
  }
  if (cell.linked.stretches > 0) {
    json["link_share"] = {{"rows", cell.linked.rows},
                          {"stretches", cell.linked.stretches},
                          {"share", rounded(cell.linked.share, 4)},
                          {"interval", interval(cell.linked.of_share, 4)}};
  }
  return json;
}

Json predicted_json(const PredictedCell& cell, double bin_m) {
  Json json = subset_json(cell.subset, bin_m);
  json["situation"] = "site";
  json["places"] = cell.places;
  for (const Measure m : all_measures) {
    const PlaceSpread& s = cell.spreads[m];
    if (std::isnan(s.median)) continue;
    json[std::string(column_of(m))] = {{"median", rounded(s.median, 2)},
                                       {"tenth", rounded(s.tenth, 2)},
                                       {"ninetieth", rounded(s.ninetieth, 2)}};
  }
  json["mean_p_hold"] = rounded(cell.mean_hold, 4);
  return json;
}

Json edge_json(const EdgeOf& edge) {
  Json json{{"source", to_string(edge.source)},
            {"sight", edge.sight ? std::string(to_string(*edge.sight)) : "any"},
            {"samples", edge.count},
            {"held", edge.held},
            {"lost", edge.lost},
            {"why_not", edge.why_not.empty() ? Json(nullptr) : Json(edge.why_not)}};
  Json at = Json::array();
  if (edge.edges) {
    for (const HoldEdge& e : edge.edges->edges) {
      at.push_back({{"probability", e.probability},
                    {"distance_m", rounded(e.distance_m, 1)},
                    {"at_end", e.beyond ? Json("beyond") : (e.before ? Json("before") : Json())},
                    {"interval", interval(e.interval, 1)},
                    {"low_open", e.low_open},
                    {"high_open", e.high_open}});
    }
  }
  json["edges"] = at;
  return json;
}

Json agreement_json(const Agreement& a) {
  return {{"stretches", a.count},
          {"bias", rounded(a.bias, 2)},
          {"bias_interval", interval(a.of_bias, 2)},
          {"spread", rounded(a.spread, 2)},
          {"correlation", rounded(a.correlation, 3)},
          {"correlation_interval", interval(a.of_correlation, 3)}};
}

Json group_json(const GroupResult& group, double bin_m) {
  Json radios = Json::array();
  for (const RadioKind& r : group.radios) {
    radios.push_back({{"frequency_ghz", r.frequency_ghz}, {"bandwidth_mhz", r.bandwidth_mhz}});
  }
  Json json{{"label", group.label},
            {"sites", group.sites},
            {"radios", radios},
            {"rows", group.rows},
            {"rows_without_distance", group.without_distance},
            {"stretches", group.stretches},
            {"places", group.places},
            {"distance_m",
             {{"median", rounded(group.median_distance_m, 1)},
              {"interval", interval(group.of_median_distance, 1)}}}};
  Json measured = Json::array(), predicted = Json::array(), edges = Json::array();
  for (const MeasuredCell& cell : group.measured) measured.push_back(measured_json(cell, bin_m));
  for (const PredictedCell& c : group.predicted) predicted.push_back(predicted_json(c, bin_m));
  for (const EdgeOf& edge : group.edges) edges.push_back(edge_json(edge));
  json["measured"] = measured;
  json["predicted"] = predicted;
  json["edges"] = edges;
  Json agreement = Json::object();
  for (const Measure m : all_measures) {
    if (group.agreement[m].count > 0) {
      agreement[std::string(column_of(m))] = agreement_json(group.agreement[m]);
    }
  }
  json["measured_less_predicted"] = agreement;
  return json;
}

Json difference_json(const Difference& d, int decimals) {
  return {{"difference", rounded(d.effect, decimals)},
          {"interval", interval(d.interval, decimals)},
          {"method", d.told() ? Json(d.method) : Json(nullptr)},
          {"shown", d.shown()},
          {"a_stretches", d.a_count},
          {"b_stretches", d.b_count},
          {"a_without_like", d.a_alone},
          {"b_without_like", d.b_alone},
          {"strata", d.strata},
          {"crude_difference", rounded(d.crude, decimals)}};
}

Json contrast_json(const Contrast& c) {
  Json json{{"kind", to_string(c.kind)},
            {"group", c.group.empty() ? Json(nullptr) : Json(c.group)},
            {"a", c.a},
            {"b", c.b}};
  for (const Measure m : all_measures) {
    const Difference& d = c.differences[m];
    if (d.a_count + d.a_alone > 0 && d.b_count + d.b_alone > 0) {
      json[std::string(column_of(m))] = difference_json(d, 2);
    }
  }
  if (c.linked.a_count + c.linked.a_alone > 0 && c.linked.b_count + c.linked.b_alone > 0) {
    json["link_share"] = difference_json(c.linked, 4);
  }
  return json;
}

}  // namespace

std::string comparison_json(const Comparison& comparison, const Defaults& defaults,
                            const Stamp& stamp, LengthUnits units) {
  const CompareSettings& s = comparison.settings;
  Json json{{"program", "kerbray " + stamp.version},
            {"by", comparison.by},
            {"bin_m", s.bin_m},
            {"stretch_m", s.stretch_m},
            {"interval_share", s.bootstrap.share},
            {"least_stretches", least_bootstrap_values},
            {"least_edge_outcomes", s.least_edge_outcomes},
            {"rows", comparison.rows},
            {"rows_without_group", comparison.unlabelled_rows}};
  Json sites = Json::array();
  for (const ComparedSite& site : comparison.sites) {
    sites.push_back({{"site", site.name},
                     {"leaf_on", site.leaf_on},
                     {"rain_mm_per_h", site.rain_mm_per_h},
                     {"has_node", site.has_node},
                     {"predicted_from", site.places_from.empty() ? Json() : Json(site.places_from)},
                     {"predicted_context", site.predicted_context}});
  }
  json["sites"] = sites;
  json["sentences"] = verdict_sentences(comparison, units);
  Json warnings = Json::array();
  for (const CompareWarning& w : comparison.warnings) {
    warnings.push_back({{"code", w.code}, {"groups", w.groups}, {"text", w.text}});
  }
  json["warnings"] = warnings;
  Json groups = Json::array(), contrasts = Json::array(), values = Json::array();
  for (const GroupResult& group : comparison.groups) groups.push_back(group_json(group, s.bin_m));
  for (const Contrast& c : comparison.contrasts) contrasts.push_back(contrast_json(c));
  for (const auto& [name, value] : defaults.all()) {
    values.push_back({{"name", name}, {"value", value.value}, {"source", value.source}});
  }
  json["groups"] = groups;
  json["differences"] = contrasts;
  json["defaults"] = values;
  json["cautions"] = cautions;
  return json.dump(2) + "\n";
}

}  // namespace sim
