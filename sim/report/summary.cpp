#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/explain/wording.h"
#include "sim/report/answers.h"
#include "sim/report/cautions.h"
#include "sim/report/street_verdicts.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

std::map<std::string, std::size_t> height_sources(const Scene& scene) {
  std::map<std::string, std::size_t> counts;
  for (const Obstacle& o : scene.obstacles) {
    if (o.kind == ObstacleKind::building) ++counts[o.height_source];
  }
  return counts;
}

/// Where leaves cost anything, and what they cost there on average within their band.
Json foliage_of(const PredictionGrid& grid) {
  double low = 0.0, loss = 0.0, high = 0.0;
  std::size_t cells = 0;
  for (const FoliageOfCell& cell : grid.foliage) {
    if (!(cell.loss_db > 0.0F)) continue;
    low += static_cast<double>(cell.low_db);
    loss += static_cast<double>(cell.loss_db);
    high += static_cast<double>(cell.high_db);
    ++cells;
  }
  Json json{{"area_m2", static_cast<double>(cells) * grid.spec.cell_x_m * grid.spec.cell_y_m}};
  if (cells == 0) return json;
  const auto count = static_cast<double>(cells);
  json["mean_low_db"] = rounded(low / count, 2);
  json["mean_loss_db"] = rounded(loss / count, 2);
  json["mean_high_db"] = rounded(high / count, 2);
  return json;
}

Json coverage_of(const Scene& scene, const PredictionGrid& grid) {
  const auto& sight = grid.band("sight").values;
  const auto& state = grid.band("state").values;
  const auto& best = grid.band("best_sector").values;
  const double cell_m2 = grid.spec.cell_x_m * grid.spec.cell_y_m;
  std::map<std::string, double> by_sight{{"los", 0.0}, {"olos", 0.0}, {"nlos", 0.0}};
  std::map<std::string, double> by_state{{"hold", 0.0}, {"marginal", 0.0}, {"drop", 0.0}};
  std::map<std::string, double> by_cause;
  const auto& p_hold = grid.band("p_hold").values;
  const double confidence = scene.conditions.defaults("confidence");
  double confident_m2 = 0.0;
  std::map<std::string, double> farthest;
  for (const std::string& name : grid.sector_names) farthest[name] = 0.0;
  for (int row = 0; row < grid.spec.rows; ++row) {
    for (int col = 0; col < grid.spec.cols; ++col) {
      const std::size_t i = grid.spec.index(col, row);
      if (std::isnan(state[i])) continue;
      if (static_cast<double>(p_hold[i]) >= confidence) confident_m2 += cell_m2;
      by_sight[std::string(to_string(static_cast<Sight>(static_cast<int>(sight[i]))))] += cell_m2;
      const auto held = static_cast<LinkState>(static_cast<int>(state[i]));
      by_state[std::string(to_string(held))] += cell_m2;
      if (held != LinkState::hold) {
        by_cause[std::string(to_string(static_cast<Cause>(grid.cause[i])))] += cell_m2;
        continue;
      }
      const auto number = static_cast<std::size_t>(best[i]) - 1;
      std::size_t node = 0, first = 0;
      while (number >= first + scene.nodes[node].sectors.size()) {
        first += scene.nodes[node].sectors.size();
        ++node;
      }
      const ScenePoint p =
          scene.frame.scene_from_map({grid.spec.center_x_m(col), grid.spec.center_y_m(row), 0.0});
      double& far = farthest[grid.sector_names[number]];
      far = std::max(far, horizontal_distance_m(scene.nodes[node].position, p));
    }
  }
  Json reach = Json::object();
  for (const auto& [name, metres] : farthest) reach[name] = rounded(metres, 1);
  return {{"cells_answered", grid.cells_answered},
          {"cells_in_buildings", grid.cells_in_buildings},
          {"cells_off_ground", grid.cells_off_ground},
          {"area_by_sight_m2", by_sight},
          {"area_by_state_m2", by_state},
          {"confidence", confidence},
          {"area_held_with_confidence_m2", confident_m2},
          {"area_out_of_sight_held_by_reflection_m2",
           static_cast<double>(grid.cells_held_by_reflection) * cell_m2},
          {"area_not_held_by_cause_m2", by_cause},
          {"behind_foliage", foliage_of(grid)},
          {"farthest_hold_m", reach}};
}

Json interval_of(const Interval& interval) {
  return Json::array({rounded(interval.low, 1), rounded(interval.high, 1)});
}

Json drops_of(const Scene& scene, const std::vector<DropStretch>& drops) {
  Json list = Json::array();
  for (const DropStretch& d : drops) {
    list.push_back({{"street", d.side.street},
                    {"from_node", d.side.from_node},
                    {"towards", compass_word(d.side.heading)},
                    {"direction", to_string(d.direction)},
                    {"from_m", rounded(d.from_m, 1)},
                    {"to_m", rounded(d.to_m, 1)},
                    {"from_10_90_m", interval_of(d.from_interval)},
                    {"to_10_90_m", interval_of(d.to_interval)},
                    {"probability", rounded(d.probability, 3)},
                    {"open_end", d.open_end},
                    {"state", to_string(d.worst)},
                    {"cause", to_string(d.cause)},
                    {"cause_id", cause_id(scene, d.cause_obstacle)},
                    {"node", d.node},
                    {"sector", d.sector}});
  }
  return list;
}

Json streets_of(const Scene& scene, const StreetVerdicts& streets) {
  Json list = Json::array();
  for (const StreetReach& r : streets.reaches) {
    list.push_back({{"street", r.side.street},
                    {"from_node", r.side.from_node},
                    {"off_street_m", rounded(r.side.off_street_m, 1)},
                    {"towards", compass_word(r.side.heading)},
                    {"answered_to_m", rounded(r.answered_to_m, 1)},
                    {"holds_from_m", r.holds ? rounded(r.from_m, 1) : Json()},
                    {"holds_to_m", r.holds ? rounded(r.to_m, 1) : Json()},
                    {"edge_10_90_m", interval_of(r.to_interval)},
                    {"verdict", verdict_text(scene, r, streets.drops, LengthUnits::metric)}});
  }
  return list;
}

/// What the rates count and leave out, where a reader may take one for the other.
Json rates_of(const Defaults& d) {
  const auto cap = [](double mbps) { return mbps > 0.0 ? Json(mbps) : Json("none"); };
  const bool anchor = d("anchor_downlink_mbps") > 0.0 || d("anchor_uplink_mbps") > 0.0;
  return {{"range", "low and high: one standard deviation of the level below and above"},
          {"backhaul_cap_mbps", cap(d("backhaul_mbps"))},
          {"anchor", anchor ? Json({{"downlink_mbps", d("anchor_downlink_mbps")},
                                    {"uplink_mbps", d("anchor_uplink_mbps")}})
                            : Json("off: rates are those of range 2 alone")},
          {"state",
           "without history: hold from hold_rsrp_dbm on, drop below drop_rsrp_dbm, marginal "
           "between; streets and drops are walked and have the hysteresis"}};
}

}  // namespace

std::string import_report_json(const ImportedSite& imported, const Scene& scene,
                               const Stamp& stamp) {
  Json json = head_of(stamp, scene);
  json["layers"] = layer_counts(imported.report);
  json["buildings_by_height_source"] = height_sources(scene);
  json["ground_cells_filled"] = imported.report.ground_cells_filled;
  std::map<std::string, std::size_t> obstacles, triangles;
  for (const Obstacle& o : scene.obstacles) ++obstacles[std::string(to_string(o.kind))];
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const auto kind = static_cast<ObstacleKind>(k);
    triangles[std::string(to_string(kind))] = scene.mesh(kind).triangles.size();
  }
  json["obstacles"] = obstacles;
  json["triangles"] = triangles;
  json["nodes"] = nodes_of(scene);
  json["issues"] = issues_of(imported.report.issues);
  json["cautions"] = cautions;
  return json.dump(2) + "\n";
}

std::string import_report_text(const ImportedSite& imported, const Scene& scene) {
  std::string text =
      "what          read     used     repaired  defaulted  dropped  outside  file\n";
  for (const LayerCount& l : imported.report.layers) {
    text += fmt::format("{:<12}{:>6}{:>9}{:>13}{:>11}{:>9}{:>9}  {}\n", l.what, l.read, l.used,
                        l.repaired, l.defaulted, l.dropped, l.outside, l.path);
  }
  text += "\nheights of buildings:";
  for (const auto& [source, count] : height_sources(scene)) {
    text += fmt::format(" {} {}", count, source);
  }
  text += "\n\n";
  for (const Issue& issue : imported.report.issues) {
    text += fmt::format("{:<10} {}: {}\n", to_string(issue.severity), to_string(issue.where),
                        issue.message);
  }
  return text;
}

std::string summary_json(const ImportedSite& imported, const Scene& scene,
                         const PredictionGrid* grid, const StreetVerdicts& streets,
                         const ReceiverAnswers* answers, const PredictOptions& options,
                         const Stamp& stamp) {
  Json json = head_of(stamp, scene);
  json["spacing_m"] = options.spacing_m;
  json["radius_m"] = options.radius_m;
  json["receiver_height_agl_m"] = options.receiver_height_agl_m;
  json["receiver_context"] = to_string(scene.conditions.receiver_context);
  json["receiver"] = receiver_of(scene);
  json["weather"] = weather_of(scene);
  json["nodes"] = nodes_of(scene);
  if (grid != nullptr && !grid->bands.empty()) json["coverage"] = coverage_of(scene, *grid);
  if (answers != nullptr) {
    json["receivers"] = {{"rows", answers->rows.size()},
                         {"beyond_radius", answers->beyond_radius},
                         {"off_ground", answers->off_ground},
                         {"inside_building", answers->inside_building}};
    if (scene.conditions.defaults("reflections") > 0.0) {
      json["reflections"] = reflections_of(scene, *answers);
    }
  }
  json["rates"] = rates_of(scene.conditions.defaults);
  json["streets"] = streets_of(scene, streets);
  json["drops"] = drops_of(scene, streets.drops);
  json["layers"] = layer_counts(imported.report);
  json["buildings_by_height_source"] = height_sources(scene);
  json["ground_cells_filled"] = imported.report.ground_cells_filled;
  json["issues"] = imported.report.issues.size();
  json["defaults"] = defaults_of(scene);
  json["cautions"] = cautions;
  if (!(scene.conditions.defaults("reflections") > 0.0)) {
    json["cautions"].push_back(without_reflections_caution);
  }
  return json.dump(2) + "\n";
}

}  // namespace sim
