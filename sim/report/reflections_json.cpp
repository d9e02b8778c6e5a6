#include "sim/link/reflections.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

/// Rows whose paths are listed; the counts are of all.
constexpr std::size_t most_listed = 500;

Json path_json(const Scene& scene, const ReflectedPath& path) {
  Json bounces = Json::array();
  for (const Bounce& bounce : path.bounces) {
    const MapPoint at = scene.frame.map_from_scene(bounce.at);
    bounces.push_back({{"on", cause_id(scene, bounce.obstacle)},
                       {"what", scene.obstacles[bounce.obstacle].what},
                       {"x_m", rounded(at.x_m, 2)},
                       {"y_m", rounded(at.y_m, 2)},
                       {"elevation_m", rounded(at.z_m, 2)},
                       {"incidence_deg", rounded(bounce.incidence.degrees(), 1)}});
  }
  return {{"bounces", bounces},
          {"length_m", rounded(path.length_m, 2)},
          {"loss_db", rounded(path.loss.value, 2)},
          {"bounce_db", rounded(path.bounce.value, 2)},
          {"obstruction_db", rounded(path.obstruction.value, 2)},
          {"foliage_db", rounded(path.foliage.value, 2)},
          {"pattern_db", rounded(path.pattern.value, 2)},
          {"azimuth_deg", rounded(path.azimuth.degrees(), 1)},
          {"arrival_azimuth_deg", rounded(path.arrival_azimuth.degrees(), 1)},
          {"arrival_elevation_deg", rounded(path.arrival_elevation.degrees(), 1)}};
}

}  // namespace

Json reflections_of(const Scene& scene, const ReceiverAnswers& answers) {
  std::size_t with = 0, served = 0, held = 0;
  Json listed = Json::array();
  for (const ReceiverRow& row : answers.rows) {
    const LinkResult& link = row.link;
    if (!(link.reflection_gain.value > 0.0)) continue;
    ++with;
    if (served_by_walls(link)) {
      ++served;
      if (link.sight == Sight::nlos && link.state == LinkState::hold) ++held;
    }
    if (listed.size() >= most_listed) continue;
    Json paths = Json::array();
    for (const ReflectedPath& path : link.reflected) paths.push_back(path_json(scene, path));
    listed.push_back({{"point_id", row.point.id},
                      {"node", scene.nodes[link.node].id},
                      {"sector", scene.nodes[link.node].sectors[link.sector].id},
                      {"sight", to_string(link.sight)},
                      {"reflection_gain_db", rounded(link.reflection_gain.value, 2)},
                      {"scatter_gain_db", rounded(link.scattered.value, 2)},
                      {"served_by_reflection", served_by_walls(link)},
                      {"strongest", link.strongest_reflection},
                      {"paths", paths}});
  }
  return {{"order", scene.conditions.defaults("reflections")},
          {"rows_with_reflections", with},
          {"rows_served_by_reflection", served},
          {"rows_out_of_sight_held_by_reflection", held},
          {"listed", listed}};
}

}  // namespace sim
