#include "sim/plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/parallel.h"
#include "sim/explain/wording.h"
#include "sim/import/nearest_word.h"
#include "sim/plan/choose_few.h"
#include "sim/plan/control_pairs.h"
#include "sim/plan/controls.h"
#include "sim/plan/landmarks.h"
#include "sim/plan/numbering.h"

namespace sim {
namespace {

constexpr double least_margin_m = 0.3;  // of sight, for a place to be one with it
constexpr double fine_step_m = 10.0;    // a shadowing's own length, TR 38.901 section 7.5

std::vector<NodeIndex> nodes_to_plan(const Scene& scene, const std::string& wanted,
                                     const SourceRef& site) {
  std::vector<NodeIndex> nodes;
  std::vector<std::string> known;
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    known.push_back(scene.nodes[n].id);
    if (wanted.empty() || wanted == scene.nodes[n].id) nodes.push_back(n);
  }
  if (known.empty()) {
    throw InputError(site, "names no node, so there is nothing to plan for; add a [[node]]");
  }
  if (nodes.empty()) {
    throw InputError(site, "has no node '" + wanted + "'" + suggestion(wanted, known));
  }
  return nodes;
}

/// Both sides of the streets every few metres, with links where there is sight.
std::vector<Candidate> fine_candidates(const PlanGround& ground, NodeIndex node,
                                       const Walks& walks) {
  const std::vector<StreetStep> steps = steps_of(ground, walks, fine_step_m);
  std::vector<std::optional<Candidate>> found(2 * steps.size());
  parallel_blocks(found.size(), 8, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      Unfit unfit = Unfit::none;
      found[i] = stand_at(ground, walks, steps[i / 2], node, i % 2 == 0, 0.0, unfit);
      if (!found[i] || !found[i]->sight) continue;
      if (sight_margin(ground.caster, ground.footprints, node, found[i]->phone,
                       found[i]->height_agl_m, least_margin_m)
              .at_least) {
        predict_at(ground, *found[i]);
      } else {
        found[i].reset();  // neither in sight for sure nor surely out of it
      }
    }
  });
  std::vector<Candidate> candidates;
  for (auto& c : found) {
    if (c) candidates.push_back(std::move(*c));
  }
  return candidates;
}

/// What the site file asks for by lon and lat.
std::vector<Chosen> wanted_places(const PlanGround& ground, const ImportedSite& imported,
                                  const std::vector<NodeIndex>& nodes) {
  const Scene& scene = ground.caster.scene();
  const CrsTransform to_map(Crs::wgs84(), imported.crs);
  std::vector<Chosen> chosen;
  for (const auto& [lon, lat] : imported.site.plan.control_points) {
    const auto map = to_map({lon, lat});
    const ScenePoint p = map ? scene.frame.scene_from_map({map->x, map->y, 0.0}) : ScenePoint{};
    const double height = map ? scene.ground.height_at(p.x_m, p.y_m) : std::nan("");
    const auto foot = ground.graph.nearest({p.x_m, p.y_m});
    if (std::isnan(height) || !foot) {
      throw InputError(imported.site.plan.where,
                       fmt::format("control_points holds [{}, {}], which lies off the ground of "
                                   "the site",
                                   lon, lat));
    }
    Candidate c;
    c.stand = {.ground = {p.x_m, p.y_m, height}, .off_m = foot->off_m, .placed_by = "site file"};
    c.way = ground.graph.pieces()[foot->piece].way;
    c.foot = *foot;
    c.height_agl_m = ground.height_agl_m;
    c.phone = {p.x_m, p.y_m, height + c.height_agl_m};
    c.node = *std::min_element(nodes.begin(), nodes.end(), [&](NodeIndex a, NodeIndex b) {
      return horizontal_distance_m(scene.nodes[a].position, c.phone) <
             horizontal_distance_m(scene.nodes[b].position, c.phone);
    });
    c.along_street_m = std::nan("");
    c.sight = in_sight(ground.caster, c.node, c.phone);
    predict_at(ground, c);
    const Unfit unfit = ground.footways.unfit({p.x_m, p.y_m});
    chosen.push_back({.kind = PositionKind::wanted,
                      .at = c,
                      .why = "named in the site file",
                      .note = unfit == Unfit::none
                                  ? ""
                                  : "As the map has it this place is " +
                                        std::string(to_string(unfit)) +
                                        ": stand on the nearest footway and note where."});
  }
  return chosen;
}

/// The clear half of a pair stands for a step at the same place.
void keep_one_of_two(std::vector<Chosen>& chosen) {
  constexpr double same_place_m = 3.0;
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    if (chosen[i].kind != PositionKind::pair_clear) continue;
    const Candidate at = chosen[i].at;
    const auto step = std::find_if(chosen.begin(), chosen.end(), [&](const Chosen& c) {
      return c.kind == PositionKind::step && c.at.node == at.node &&
             horizontal_distance_m(c.at.phone, at.phone) < same_place_m;
    });
    if (step == chosen.end()) continue;
    chosen[i].why += "; stands for the step beside it";
    if (step - chosen.begin() < static_cast<std::ptrdiff_t>(i)) --i;
    chosen.erase(step);
  }
}

}  // namespace

PlanOptions plan_options(const Site& site) {
  return {.step_m = site.plan.step_m,
          .reach_m = site.plan.reach_m,
          .receiver_height_agl_m = site.receiver.height_agl_m,
          .count = site.plan.count ? std::optional(static_cast<std::size_t>(*site.plan.count))
                                   : std::nullopt,
          .controls = site.plan.controls,
          .node = {},
          .progress = {}};
}

Plan make_plan(const ImportedSite& imported, const WalkingMap& map, const RayCaster& caster,
               const PlanOptions& options, const Survey* measured) {
  const Scene& scene = caster.scene();
  const SourceRef site{imported.site.file, "", -1};
  const std::vector<NodeIndex> nodes = nodes_to_plan(scene, options.node, site);
  const std::vector<WalkerStreet> ways = ways_of(imported, scene);
  const StreetGraph graph(ways);
  if (graph.pieces().empty()) {
    throw InputError(site, imported.streets.empty()
                               ? "names no streets, so there is nothing to walk on; add [streets] "
                                 "file = \"...\" with their centre lines"
                               : "has no street that may be walked; check highway, access and foot "
                                 "of the streets layer");
  }
  const Footways footways(caster, ways, map);
  const FootprintIndex footprints(scene);
  const LinkSettings settings = link_settings(scene);
  const PlanGround ground{caster,         settings,        ways,
                          graph,          footways,        footprints,
                          options.step_m, options.reach_m, options.receiver_height_agl_m};
  const auto asked = [&](const char* control) {
    return std::find(options.controls.begin(), options.controls.end(), control) !=
           options.controls.end();
  };
  if (options.step_m > options.reach_m) {
    throw InputError(site,
                     fmt::format("leaves no step: the step of {:g} m is longer than the reach "
                                 "of {:g} m",
                                 options.step_m, options.reach_m));
  }
  Plan plan{.positions = {}, .route = {}, .gaps = {}, .notes = {}};
  plan.step_m = options.step_m;
  plan.reach_m = options.reach_m;
  std::vector<Chosen> chosen = wanted_places(ground, imported, nodes);
  int pairs = 0;
  std::vector<Candidate> all_fine;
  for (std::size_t k = 0; k < nodes.size(); ++k) {
    const NodeIndex n = nodes[k];
    const ScenePoint at = scene.nodes[n].position;
    const auto foot = graph.nearest({at.x_m, at.y_m});
    const Walks walks = graph.walks_from(*foot);
    NodeSteps steps = step_positions(ground, n, walks);
    plan.gaps.insert(plan.gaps.end(), steps.gaps.begin(), steps.gaps.end());
    if (!steps.any_sight) {
      plan.notes.push_back(fmt::format(
          "{} is in sight of no footway within {} of walking: there is nothing to test in line of "
          "sight. Check its place and height, or what stands before it.",
          scene.nodes[n].id, length_text(options.reach_m, options.units)));
    }
    chosen.insert(chosen.end(), std::make_move_iterator(steps.chosen.begin()),
                  std::make_move_iterator(steps.chosen.end()));
    if (!options.controls.empty()) {
      const std::vector<Candidate> fine = fine_candidates(ground, n, walks);
      const auto add = [&](std::vector<Chosen> more) {
        for (Chosen& c : more) {
          if (c.pair >= 0) c.pair += pairs;
          chosen.push_back(std::move(c));
        }
      };
      if (asked("pairs")) {
        const std::vector<Chosen> found = control_pairs(ground, n, fine);
        if (found.empty()) {
          plan.notes.push_back("No single obstacle near " + scene.nodes[n].id +
                               " can be passed at one distance with and without it, so there is "
                               "no matched pair.");
        }
        add(found);
        pairs += static_cast<int>(found.size() / 2);
      }
      if (asked("off_side")) add(off_side(ground, n, fine, plan.notes));
      if (asked("in_car")) add(in_car(ground, n, map, fine, plan.notes));
      all_fine.insert(all_fine.end(), fine.begin(), fine.end());
    }
    if (options.progress) options.progress(k + 1, nodes.size());
  }
  keep_one_of_two(chosen);
  if (asked("informative")) {
    for (Chosen& c : informative(ground, all_fine, chosen, measured, plan.notes)) {
      chosen.push_back(std::move(c));
    }
  }
  if (options.count && chosen.size() > *options.count) {
    plan.chosen_from = chosen.size();
    chosen = choose_few(ground, std::move(chosen), *options.count, measured);
  }
  const Landmarks landmarks(imported, scene, ways, graph, map);
  number_in_walking_order(plan, ground, imported, nodes, chosen, landmarks, options.units);
  return plan;
}

}  // namespace sim
