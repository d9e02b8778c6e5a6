#include "sim/report/summary_parts.h"

#include <cmath>

#include "sim/gis/crs.h"
#include "sim/loss/exposure.h"
#include "sim/report/cautions.h"

namespace sim {
Json rounded(double value, int decimals) {
  if (!std::isfinite(value)) return nullptr;
  const double scale = std::pow(10.0, decimals);
  const double r = std::round(value * scale) / scale;
  return r == 0.0 ? 0.0 : r;
}

Json head_of(const Stamp& stamp, const Scene& scene) {
  return {
      {"program", "kerbray " + stamp.version},
      {"site", stamp.site_name},
      {"crs", Crs::parse(scene.frame.crs_wkt, {}).epsg()},
      {"vertical_datum", scene.frame.vertical_datum},
      {"effective_earth_factor", rounded(scene.conditions.defaults("effective_earth_factor"), 4)},
      {"grid_convergence_deg", rounded(scene.frame.convergence.degrees(), 5)}};
}

Json layer_counts(const ImportReport& report) {
  Json list = Json::array();
  for (const LayerCount& layer : report.layers) {
    list.push_back({{"what", layer.what},
                    {"file", layer.path},
                    {"read", layer.read},
                    {"used", layer.used},
                    {"repaired", layer.repaired},
                    {"defaulted", layer.defaulted},
                    {"dropped", layer.dropped},
                    {"outside_area", layer.outside}});
  }
  return list;
}

Json nodes_of(const Scene& scene) {
  Json list = Json::array();
  for (const Node& node : scene.nodes) {
    Json sectors = Json::array();
    for (const Sector& s : node.sectors) {
      sectors.push_back(
          {{"sector", s.id},
           {"azimuth_deg", rounded(s.azimuth.degrees(), 3)},
           {"downtilt_deg", rounded(s.downtilt.degrees(), 3)},
           {"frequency_ghz", s.frequency.ghz()},
           {"bandwidth_mhz", s.bandwidth_mhz},
           {"carriers", s.carriers},
           {"eirp_dbm", s.eirp.value},
           {"pattern", s.table ? s.table->path : s.pattern},
           {"exposure_screening_distance_m",
            rounded(exposure_distance_m(s.eirp, s.frequency, ExposureLimit::fcc_public), 2)}});
    }
    list.push_back({{"id", node.id}, {"height_agl_m", node.height_agl_m}, {"sectors", sectors}});
  }
  return list;
}

Json receiver_of(const Scene& scene) {
  const Conditions& c = scene.conditions;
  const Housing& h = c.housing;
  return {{"facing", to_string(c.facing)},
          {"vehicle_windows", h.metallised_windows ? "metallised" : "plain"},
          {"glass", h.coated_glass ? "coated" : "plain"},
          {"glass_thickness_mm",
           h.glass_thickness_mm > 0.0 ? Json(h.glass_thickness_mm) : Json(nullptr)},
          {"facade", to_string(h.facade)},
          {"indoor_depth_m", h.indoor_depth_m},
          {"hand", h.hand_over_panel ? "over_panel" : "clear"}};
}

Json defaults_of(const Scene& scene) {
  Json list = Json::array();
  for (const auto& [name, value] : scene.conditions.defaults.all()) {
    list.push_back({{"name", name}, {"value", value.value}, {"source", value.source}});
  }
  return list;
}

Json issues_of(const std::vector<Issue>& issues) {
  Json list = Json::array();
  for (const Issue& issue : issues) {
    list.push_back({{"severity", to_string(issue.severity)},
                    {"where", to_string(issue.where)},
                    {"code", issue.code},
                    {"message", issue.message}});
  }
  return list;
}

void close_survey_summary(Json& json, const ImportedSite& imported, const Scene& scene,
                          const Survey& survey) {
  json["nodes"] = nodes_of(scene);
  json["layers"] = layer_counts(imported.report);
  json["survey_issues"] = issues_of(survey.issues);
  json["defaults"] = defaults_of(scene);
  json["cautions"] = cautions;
}

}  // namespace sim
