#include "sim/plan/numbering.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/base/parallel.h"
#include "sim/explain/wording.h"
#include "sim/plan/repeats.h"

namespace sim {
namespace {

Xy flat(ScenePoint p) { return {p.x_m, p.y_m}; }

Xy start_of(const PlanGround& ground, const ImportedSite& imported,
            const std::vector<NodeIndex>& nodes) {
  const Scene& scene = ground.caster.scene();
  const PlanSettings& plan = imported.site.plan;
  if (plan.route_start.empty()) {
    return ground.graph.nearest(flat(scene.nodes[nodes.front()].position))->place;
  }
  const auto [lon, lat] = plan.route_start.front();
  const auto map = CrsTransform(Crs::wgs84(), imported.crs)({lon, lat});
  const ScenePoint p = map ? scene.frame.scene_from_map({map->x, map->y, 0.0}) : ScenePoint{};
  if (!map || std::isnan(scene.ground.height_at(p.x_m, p.y_m))) {
    throw InputError(plan.where,
                     fmt::format("route_start [{}, {}] lies off the ground of the site", lon, lat));
  }
  return flat(p);
}

/// "north side": of the street, as seen on the compass.
std::string side_of(const Scene& scene, const Candidate& c) {
  if (c.stand.off_m < 0.5) return "";
  const ScenePoint foot{c.foot.place.x, c.foot.place.y, c.stand.ground.z_m};
  return compass_word(scene.frame.true_azimuth(foot, c.stand.ground)) + " side";
}

std::string why_step(const Plan& plan, const PlannedPosition& p, LengthUnits units) {
  const double steps = std::round(p.at.along_street_m / plan.step_m);
  std::string text = std::isfinite(steps) ? fmt::format("step {:.0f} outward, {} each", steps,
                                                        length_text(plan.step_m, units))
                                          : "";
  if (p.beyond_edge) text += ", past the edge: the link should not hold here";
  return text;
}

}  // namespace

void number_in_walking_order(Plan& plan, const PlanGround& ground, const ImportedSite& imported,
                             const std::vector<NodeIndex>& nodes, const std::vector<Chosen>& chosen,
                             const Landmarks& landmarks, LengthUnits units) {
  const Scene& scene = ground.caster.scene();
  const Defaults& defaults = scene.conditions.defaults;
  const Xy start = start_of(ground, imported, nodes);
  if (chosen.empty()) return;
  // The halves of a pair are one stop: they compare best within minutes of each other.
  std::vector<std::size_t> stops;
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    if (chosen[i].kind != PositionKind::pair_blocked) stops.push_back(i);
  }
  std::vector<Foot> feet{*ground.graph.nearest(start)};
  std::vector<Xy> places{start};
  for (const std::size_t i : stops) {
    feet.push_back(chosen[i].at.foot);
    places.push_back(flat(chosen[i].at.stand.ground));
  }
  std::vector<std::size_t> order;  // of chosen places
  for (const std::size_t stop : short_walk(walk_table(ground.graph, feet, places).distance_m)) {
    if (stop == 0) continue;
    order.push_back(stops[stop - 1]);
    const int pair = chosen[stops[stop - 1]].pair;
    for (std::size_t i = 0; pair >= 0 && i < chosen.size(); ++i) {
      if (chosen[i].pair == pair && i != stops[stop - 1]) order.push_back(i);
    }
  }
  std::vector<Foot> walked_feet{feet.front()};
  std::vector<Xy> walked{start};
  for (const std::size_t i : order) {
    walked_feet.push_back(chosen[i].at.foot);
    walked.push_back(flat(chosen[i].at.stand.ground));
  }
  plan.route = lay_out(scene, ground.graph, walked_feet, walked);
  const std::size_t count = order.size();
  const int digits = count > 99 ? 3 : 2;
  plan.positions.resize(count);
  std::vector<std::size_t> position_of(chosen.size());
  for (std::size_t i = 0; i < count; ++i) position_of[order[i]] = i;
  std::map<NodeIndex, Walks> outward;
  for (const Chosen& c : chosen) {
    if (outward.contains(c.at.node)) continue;
    const Foot foot = *ground.graph.nearest(flat(scene.nodes[c.at.node].position));
    outward.emplace(c.at.node, ground.graph.walks_from(foot));
  }
  const double look_m = defaults("plan_margin_look_m");
  parallel_blocks(count, 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      PlannedPosition& p = plan.positions[i];
      const Chosen& c = chosen[order[i]];
      p.at = c.at;
      p.at.along_street_m = ground.graph.distance_m(outward.at(c.at.node), c.at.foot);
      if (p.at.sight) {
        p.margin = sight_margin(ground.caster, ground.footprints, p.at.node, p.at.phone,
                                p.at.height_agl_m, look_m);
      }
    }
  });
  for (std::size_t i = 0; i < count; ++i) {
    PlannedPosition& p = plan.positions[i];
    const Chosen& c = chosen[order[i]];
    p.id = fmt::format("P{:0{}}", i + 1, digits);
    p.kind = c.kind;
    p.street = name_of(ground.ways[c.at.way]);
    p.side = side_of(scene, c.at);
    p.face = scene.frame.true_azimuth(c.at.phone, scene.nodes[c.at.node].position);
    p.landmark = landmarks.at(c.at.stand.ground, c.at.way, units);
    p.beyond_edge = !c.at.link || c.at.link->p_hold < 0.5;
    p.note = c.note;
    p.why = c.why;
    if (c.kind == PositionKind::step) {
      const std::string step = why_step(plan, p, units);
      p.why = step + (c.why.empty() || step.empty() ? "" : "; ") + c.why;
    }
    std::optional<double> difference_db;
    for (std::size_t other = 0; c.pair >= 0 && other < chosen.size(); ++other) {
      const Chosen& half = chosen[other];
      if (half.pair != c.pair || half.kind == c.kind) continue;
      p.partner = fmt::format("P{:0{}}", position_of[other] + 1, digits);
      if (c.at.link && half.at.link) difference_db = (c.at.link->rsrp - half.at.link->rsrp).value;
    }
    if (c.at.link) {
      const Repeats repeats = repeats_for(*c.at.link, defaults, difference_db);
      p.repeats = repeats.count;
      p.repeats_why = repeats.why;
      plan.route.reading_s += static_cast<double>(repeats.count) * defaults("plan_reading_s");
    }
  }
  plan.route.walking_s = walking_time_s(plan.route.length_m, plan.route.climb_m, defaults);
  if (plan.route.off_street_m > 0.0) {
    plan.notes.push_back(
        fmt::format("{} of the walk follow no mapped street: find your own way there on foot.",
                    length_text(plan.route.off_street_m, units)));
  }
}

}  // namespace sim
