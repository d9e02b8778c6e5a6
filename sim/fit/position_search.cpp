#include "sim/fit/position_search.h"

#include <algorithm>
#include <cmath>

#include "sim/fit/start.h"

namespace sim {
namespace {

constexpr std::size_t most_places = 150;
constexpr double street_step_m = 10.0;
constexpr double clearly = 0.9;      // share of the likelihood; common practice, no source
constexpr double same_pole_m = 1.0;  // contract: a mapped pole within 1 m is the node's own

/// Middle of the box that a thing just fills, as seen from above.
ScenePoint middle_of(const Scene& scene, const Obstacle& obstacle) {
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  ScenePoint low = mesh.vertices[mesh.triangles[obstacle.first_triangle][0]], high = low;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    for (const std::uint32_t v : mesh.triangles[obstacle.first_triangle + t]) {
      const ScenePoint p = mesh.vertices[v];
      low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m), 0.0};
      high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m), 0.0};
    }
  }
  return 0.5 * (low + high);
}

double nearest_m(const std::vector<ScenePoint>& rows, ScenePoint p) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const ScenePoint row : rows) nearest = std::min(nearest, horizontal_distance_m(row, p));
  return nearest;
}

std::vector<NodePlace> poles(const Scene& scene, double height_agl_m) {
  std::vector<NodePlace> places;
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    const Obstacle& pole = scene.obstacles[id];
    if (pole.kind != ObstacleKind::pole || pole.triangle_count == 0) continue;
    ScenePoint p = middle_of(scene, pole);
    p.z_m = scene.ground.height_at(p.x_m, p.y_m) + height_agl_m;
    if (!std::isnan(p.z_m)) places.push_back({pole.id, p, {id}});
  }
  return places;
}

std::vector<NodePlace> along_streets(const Scene& scene, double height_agl_m) {
  std::vector<NodePlace> places;
  for (const Street& street : scene.streets) {
    double walked = 0.0, next = 0.0;
    for (std::size_t i = 0; i + 1 < street.line.size(); ++i) {
      const ScenePoint a = street.line[i], b = street.line[i + 1];
      const double length = horizontal_distance_m(a, b);
      for (; next < walked + length; next += street_step_m) {
        ScenePoint p = a + ((next - walked) / length) * (b - a);
        p.z_m = scene.ground.height_at(p.x_m, p.y_m) + height_agl_m;
        if (std::isnan(p.z_m)) continue;
        const std::string name = street.name.empty() ? street.id : street.name;
        places.push_back({name + " at " + std::to_string(static_cast<int>(next)) + " m", p, {}});
      }
      walked += length;
    }
  }
  return places;
}

/// The node's azimuths and EIRPs, if the rows hang on them at all.
std::vector<bool> azimuths_and_eirps(const std::vector<Unknown>& unknowns) {
  std::vector<bool> free;
  free.reserve(unknowns.size());
  for (const Unknown& u : unknowns) {
    free.push_back(u.quantity == FitQuantity::azimuth || u.quantity == FitQuantity::eirp);
  }
  return free;
}

RankedPlace judge(const RayCaster& caster, const NodePlace& place, const Survey& survey,
                  NodeIndex node, const ObservationOptions& tracing) {
  const Scene& scene = caster.scene();
  const LinkSettings site = link_settings(scene);
  const Observations seen = observe(caster, survey, fit_settings(scene), tracing);
  const std::vector<Unknown> unknowns = unknowns_of(scene.nodes, seen.rows, site, false);
  const LevelModel model(scene.nodes, site, unknowns, seen.rows);
  const Solved best = solve_from_anywhere(model, site_values(unknowns),
                                          azimuths_and_eirps(unknowns), {Robust::huber, 1.0});
  RankedPlace ranked{.place = place, .cost = best.cost};
  for (std::size_t k = unknowns.size(); k-- > 0;) {
    if (unknowns[k].node != node) continue;
    const double value = best.values[static_cast<Eigen::Index>(k)];
    if (unknowns[k].quantity == FitQuantity::azimuth) ranked.azimuth_deg = value;
    if (unknowns[k].quantity == FitQuantity::eirp) ranked.eirp_offset_db = value;
  }
  return ranked;
}

}  // namespace

std::vector<NodePlace> node_places(const Scene& scene, NodeIndex node,
                                   const std::vector<ScenePoint>& rows, double reach_m,
                                   bool& by_poles) {
  const double height = scene.nodes[node].height_agl_m;
  std::vector<NodePlace> places = poles(scene, height);
  by_poles = !places.empty();
  if (!by_poles) places = along_streets(scene, height);
  std::erase_if(places, [&](const NodePlace& p) { return nearest_m(rows, p.position) > reach_m; });
  const FootprintIndex footprints(scene);
  std::erase_if(places, [&](const NodePlace& p) {
    const auto inside = footprints.building_at(p.position.x_m, p.position.y_m);
    return inside && scene.obstacles[*inside].top_m > p.position.z_m;
  });
  const ScenePoint now = scene.nodes[node].position;
  std::erase_if(places, [&](const NodePlace& p) {
    return horizontal_distance_m(p.position, now) < same_pole_m;
  });
  std::stable_sort(places.begin(), places.end(), [&](const NodePlace& a, const NodePlace& b) {
    return nearest_m(rows, a.position) < nearest_m(rows, b.position);
  });
  places.insert(places.begin(), {"site", now, scene.nodes[node].own_poles});
  return places;
}

PositionSearch search_position(Scene& scene, const RayCaster& caster, const Survey& survey,
                               NodeIndex node, const ObservationOptions& options, double reach_m) {
  ObservationOptions tracing = options;
  tracing.deep_shadow_too = true;
  tracing.radius_m = std::numeric_limits<double>::infinity();  // the same rows from every place
  PositionSearch search{.node = node};
  std::vector<ScenePoint> rows;
  Survey heard;  // rows of this node
  heard.repeats = survey.repeats;
  for (const Measurement& m : survey.measurements) {
    if (!m.place || (!m.node.empty() && m.node != scene.nodes[node].id)) continue;
    heard.measurements.push_back(m);
    rows.push_back(scene.frame.scene_from_map({m.place->x, m.place->y, 0.0}));
  }
  std::vector<NodePlace> places = node_places(scene, node, rows, reach_m, search.by_poles);
  if (places.size() > most_places) {
    search.not_tried = places.size() - most_places;
    places.resize(most_places);
  }
  const ScenePoint home = scene.nodes[node].position;
  const std::vector<ObstacleId> home_poles = scene.nodes[node].own_poles;
  for (const NodePlace& place : places) {
    scene.nodes[node].position = place.position;
    scene.nodes[node].own_poles = place.own_poles;
    search.ranking.push_back(judge(caster, place, heard, node, tracing));
  }
  double least = std::numeric_limits<double>::infinity(), sum = 0.0;
  for (const RankedPlace& p : search.ranking) least = std::min(least, p.cost);
  for (const RankedPlace& p : search.ranking) sum += std::exp(least - p.cost);
  for (RankedPlace& p : search.ranking) p.likelihood = std::exp(least - p.cost) / sum;
  std::stable_sort(
      search.ranking.begin(), search.ranking.end(),
      [](const RankedPlace& a, const RankedPlace& b) { return a.likelihood > b.likelihood; });
  const RankedPlace& best = search.ranking.front();
  search.moved = best.place.id != "site" && best.likelihood >= clearly;
  scene.nodes[node].position = search.moved ? best.place.position : home;
  scene.nodes[node].own_poles = search.moved ? best.place.own_poles : home_poles;
  return search;
}

}  // namespace sim
