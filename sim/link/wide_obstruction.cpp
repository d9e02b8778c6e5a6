#include "sim/link/wide_obstruction.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "sim/link/way_round.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr Db least_loss{0.01};    // cheaper things are left out of the ledger
constexpr Db worth_beside{12.0};  // a way dearer than another by more carries nothing

double share_of_power(Db loss) { return std::pow(10.0, -loss.value / 10.0); }

struct Model {
  std::string_view name, source;
};
constexpr Model outline_model{"silhouette", "Kirchhoff field behind the outline, local mean"};
constexpr Model edge_model{"knife_edge", "ITU-R P.526 section 4.1"};
constexpr Model series_model{"two_edges", "edges in series, pairs by Kirchhoff"};
constexpr Model crest_model{"rounded_edge", "ITU-R P.526 section 4.2"};

/// A term for each thing of a way, the chain's shares scaled to `total`; its first edge by `model`.
void add_way(const Scene& scene, const Way& way, Db total, const Model& model,
             std::vector<LossTerm>& terms) {
  if (total < least_loss) return;
  const auto first = static_cast<std::ptrdiff_t>(terms.size());
  for (std::size_t i = 0; i < way.edges.size(); ++i) {
    const bool principal = i == way.chain.principal;
    const Db loss = way.chain.loss.value > 0.0
                        ? (total.value / way.chain.loss.value) * way.chain.shares[i]
                        : (principal ? total : Db(0.0));
    const ObstacleId owner = way.owners[i];
    const auto known = std::find_if(terms.begin() + first, terms.end(),
                                    [&](const LossTerm& term) { return term.obstacle == owner; });
    if (known != terms.end()) {
      known->loss += loss;
      continue;
    }
    const Model& used = way.edges[i].radius_m > 0.0 ? crest_model
                        : principal                 ? model
                                                    : series_model;
    terms.push_back({.model = used.name,
                     .source = used.source,
                     .group = TermGroup::diffraction,
                     .loss = loss,
                     .cause = cause_of(scene.obstacles[owner].kind),
                     .obstacle = owner,
                     .validity = Validity::inside});
  }
  terms.erase(std::remove_if(terms.begin() + first, terms.end(),
                             [](const LossTerm& term) { return !(term.loss.value > 0.0); }),
              terms.end());
}

OutlineSide first_side(const Way& way) {
  const ProfileEdge& edge = way.edges[way.chain.principal];
  return {edge.above_m, edge.at_m};
}

void add_blocked(const PathSight& sight, std::vector<LossTerm>& terms) {
  const Scene& scene = sight.caster.scene();
  const Way over = way_over(sight);
  std::vector<const Way*> ways;
  ways.reserve(3);
  UprightOutline outline{{infinite, 0.0}, {infinite, 0.0}, {infinite, 0.0}, {infinite, 0.0}};
  if (!over.edges.empty()) {
    outline.top = first_side(over);
    ways.push_back(&over);
  }
  const Db worth = over.edges.empty() ? Db(200.0) : over.chain.loss + worth_beside;
  const std::array<std::optional<Way>, 2> rounds = ways_round(sight, worth);
  for (const bool left : {true, false}) {
    const auto& round = rounds[left ? 0 : 1];
    if (!round) continue;
    (left ? outline.left : outline.right) = first_side(*round);
    ways.push_back(&*round);
  }
  if (ways.empty()) return;
  double single = 0.0, chained = 0.0;
  const Way* best = ways.front();
  for (const Way* way : ways) {
    single += share_of_power(way->chain.single);
    chained += share_of_power(way->chain.loss);
    if (way->chain.loss < best->chain.loss) best = way;
  }
  const Db in_series(10.0 * std::log10(single / std::max(chained, 1e-30)));
  const Db total =
      upright_screen_loss(sight.frequency, sight.path.length_m, outline, sight.sway_m) +
      std::max(in_series, Db(0.0));
  add_way(scene, *best, total, outline_model, terms);
}

/// Walls beside the path: on each side the one that costs most, for walls in a row are one edge.
void add_beside(const PathSight& sight, std::vector<LossTerm>& terms) {
  const Scene& scene = sight.caster.scene();
  const double upright =
      horizontal_distance_m(sight.path.a, sight.path.b) / std::max(sight.path.length_m, 1e-9);
  struct Wall {
    Db loss;
    ObstacleId obstacle = no_obstacle;
  };
  std::array<Wall, 2> walls;
  for (const Passing& p : sight.path.passing) {
    const Outline& o = p.outline;
    if (!is_wide(scene.obstacles[p.obstacle].kind)) continue;
    const bool on_left = o.right_m <= 0.0;
    if (!on_left && o.left_m > 0.0) continue;  // under the path, or about it (a courtyard)
    const UprightOutline outline{{o.left_m, o.left_at_m},
                                 {o.right_m, o.right_at_m},
                                 {o.above_m * upright, o.above_at_m},
                                 {infinite, 0.0}};
    const Db loss =
        upright_screen_loss(sight.frequency, sight.path.length_m, outline, sight.sway_m);
    Wall& wall = walls[on_left ? 0 : 1];
    if (loss > wall.loss) wall = {loss, p.obstacle};
  }
  for (const Wall& wall : walls) {
    if (wall.loss < least_loss) continue;
    terms.push_back({.model = outline_model.name,
                     .source = outline_model.source,
                     .group = TermGroup::diffraction,
                     .loss = wall.loss,
                     .cause = cause_of(scene.obstacles[wall.obstacle].kind),
                     .obstacle = wall.obstacle,
                     .validity = Validity::inside});
  }
}

}  // namespace

void add_wide_terms(const PathSight& sight, std::vector<LossTerm>& terms) {
  const Scene& scene = sight.caster.scene();
  const bool blocked =
      std::any_of(sight.path.crossings.begin(), sight.path.crossings.end(),
                  [&](const Crossing& c) { return is_wide(scene.obstacles[c.obstacle].kind); });
  if (blocked) {
    add_blocked(sight, terms);
    return;
  }
  const Way under = way_over(sight);
  if (!under.edges.empty()) add_way(scene, under, under.chain.loss, edge_model, terms);
  add_beside(sight, terms);
}

}  // namespace sim
