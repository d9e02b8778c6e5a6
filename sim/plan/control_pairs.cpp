#include "sim/plan/control_pairs.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>

#include "sim/base/parallel.h"
#include "sim/explain/wording.h"

namespace sim {
namespace {

constexpr double same_distance = 0.05;  // share; 0.4 dB of free space
constexpr double same_gain_db = 3.0;    // of the pattern; what is left the prediction allows for
constexpr double least_loss_db = 3.0;   // less is lost in a phone's own spread
constexpr double told_loss_db = 25.0;   // more makes a pair no better
constexpr std::size_t most_tried = 10;  // blocked places per kind that are predicted

/// The one thing on the straight line; nullopt for none or several.
std::optional<ObstacleId> only_obstacle(const PlanGround& ground, const Candidate& c) {
  const Node& node = ground.caster.scene().nodes[c.node];
  const auto crossings = ground.caster.crossings(
      node.position, c.phone, {.blocking = everything_mask, .ignored = node.own_poles});
  if (crossings.size() != 1) return std::nullopt;
  return crossings.front().obstacle;
}

/// Kinds that make pairs of their own: a tree is one, trunk or crown.
ObstacleKind pair_kind(ObstacleKind kind) {
  return kind == ObstacleKind::trunk || kind == ObstacleKind::canopy ? ObstacleKind::crown : kind;
}

double distance_of(const PlanGround& ground, const Candidate& c) {
  return horizontal_distance_m(ground.caster.scene().nodes[c.node].position, c.phone);
}

/// Whether a tester need not stand stock-still for the sight.
bool stands_clear(const PlanGround& ground, const Candidate& c) {
  constexpr double enough_m = 0.3;
  return sight_margin(ground.caster, ground.footprints, c.node, c.phone, c.height_agl_m, enough_m)
      .at_least;
}

/// A place off the mapped stations, on a footway; nullopt where nobody may stand.
std::optional<Candidate> footway_at(const PlanGround& ground, NodeIndex node, Xy place) {
  if (!ground.footways.on_a_footway(place)) return std::nullopt;
  const auto foot = ground.graph.nearest(place);
  if (!foot) return std::nullopt;
  Candidate c;
  c.stand.ground = {place.x, place.y, ground.caster.scene().ground.height_at(place.x, place.y)};
  c.stand.off_m = foot->off_m;
  c.stand.placed_by = "footway";
  c.way = ground.graph.pieces()[foot->piece].way;
  c.foot = *foot;
  c.along_street_m = std::numeric_limits<double>::infinity();
  c.node = node;
  c.height_agl_m = ground.height_agl_m;
  c.phone = c.stand.ground;
  c.phone.z_m += c.height_agl_m;
  c.sight = in_sight(ground.caster, node, c.phone);
  return c;
}

/// Places right behind the thin things near the streets, which no regular step would meet.
std::vector<Candidate> behind_things(const PlanGround& ground, NodeIndex node) {
  const Scene& scene = ground.caster.scene();
  const ScenePoint at = scene.nodes[node].position;
  std::vector<Candidate> places;
  for (const ObstacleKind kind :
       {ObstacleKind::pole, ObstacleKind::trunk, ObstacleKind::vehicle, ObstacleKind::object}) {
    const TriangleMesh& mesh = scene.mesh(kind);
    for (std::size_t id = 0; id < scene.obstacles.size(); ++id) {
      const Obstacle& o = scene.obstacles[id];
      if (o.kind != kind || o.triangle_count == 0) continue;
      Xy middle;
      for (std::uint32_t t = 0; t < o.triangle_count; ++t) {
        for (const std::uint32_t v : mesh.triangles[o.first_triangle + t]) {
          middle.x += mesh.vertices[v].x_m / (3.0 * o.triangle_count);
          middle.y += mesh.vertices[v].y_m / (3.0 * o.triangle_count);
        }
      }
      const double dx = middle.x - at.x_m, dy = middle.y - at.y_m, d = std::hypot(dx, dy);
      if (d < 10.0 || d > ground.reach_m) continue;  // right under it nothing is to be learned
      for (const double behind_m : {1.5, 2.5, 4.0, 6.0}) {
        auto c =
            footway_at(ground, node, {middle.x + behind_m * dx / d, middle.y + behind_m * dy / d});
        if (c && !c->sight) {
          places.push_back(*c);
          break;
        }
      }
    }
  }
  return places;
}

/// The clear place nearest to a blocked one at its distance: of the fine candidates, else along the
/// arc about the node.
std::optional<Candidate> clear_of(const PlanGround& ground, const Candidate& blocked,
                                  const std::vector<Candidate>& fine, bool by_ground) {
  const double distance = distance_of(ground, blocked);
  const ScenePoint node = ground.caster.scene().nodes[blocked.node].position;
  if (!by_ground) {
    const double start = std::atan2(blocked.phone.y_m - node.y_m, blocked.phone.x_m - node.x_m);
    for (double off_m = 1.5; off_m <= 12.0; off_m += 0.5) {
      for (const double side : {1.0, -1.0}) {
        const double turn = start + side * off_m / distance;
        auto c = footway_at(
            ground, blocked.node,
            {node.x_m + distance * std::cos(turn), node.y_m + distance * std::sin(turn)});
        if (c && c->sight && stands_clear(ground, *c)) return c;
      }
    }
  }
  std::optional<Candidate> best;
  double least = 60.0;  // a pair farther apart than this is two places
  for (const Candidate& c : fine) {
    if (!c.sight) continue;
    const double d = distance_of(ground, c);
    const bool fits = by_ground ? d < distance && c.way == blocked.way && c.left == blocked.left
                                : std::abs(d - distance) <= same_distance * distance;
    const double apart = horizontal_distance_m(c.phone, blocked.phone);
    if (fits && apart < least && stands_clear(ground, c)) {
      least = apart;
      best = c;
    }
  }
  return best;
}

struct Pair {
  Candidate clear, blocked;
  ObstacleId obstacle;
  double score = 0.0, loss_db = 0.0;
};

}  // namespace

std::vector<Chosen> control_pairs(const PlanGround& ground, NodeIndex node,
                                  const std::vector<Candidate>& fine) {
  const Scene& scene = ground.caster.scene();
  std::vector<Candidate> dark = behind_things(ground, node);
  std::copy_if(fine.begin(), fine.end(), std::back_inserter(dark),
               [](const Candidate& c) { return !c.sight; });
  std::stable_sort(dark.begin(), dark.end(), [&](const Candidate& a, const Candidate& b) {
    return distance_of(ground, a) < distance_of(ground, b);
  });
  std::map<ObstacleKind, std::vector<Pair>> by_kind;
  for (const Candidate& blocked : dark) {
    const auto obstacle = only_obstacle(ground, blocked);
    if (!obstacle) continue;
    const ObstacleKind kind = pair_kind(scene.obstacles[*obstacle].kind);
    std::vector<Pair>& pairs = by_kind[kind];
    if (pairs.size() >= most_tried) continue;
    const auto clear = clear_of(ground, blocked, fine, kind == ObstacleKind::ground);
    if (clear) pairs.push_back({*clear, blocked, *obstacle});
  }
  std::vector<Chosen> chosen;
  int number = 0;
  for (auto& of_kind : by_kind) {
    const ObstacleKind kind = of_kind.first;
    std::vector<Pair>& pairs = of_kind.second;
    parallel_blocks(pairs.size(), 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        Pair& pair = pairs[i];
        predict_at(ground, pair.clear);
        predict_at(ground, pair.blocked);
        if (!pair.clear.link || !pair.blocked.link) continue;
        const LinkResult &clear = *pair.clear.link, &blocked = *pair.blocked.link;
        if (std::abs(clear.pattern.value - blocked.pattern.value) > same_gain_db) continue;
        if (clear.p_hold < 0.5) continue;
        pair.loss_db = (clear.rsrp - blocked.rsrp).value;
        if (pair.loss_db < least_loss_db) continue;
        // A level that can still be read tells more than a lost link.
        pair.score = std::min(pair.loss_db, told_loss_db);
        if (blocked.rsrp < ground.settings.drop_rsrp) pair.score = least_loss_db;
      }
    });
    const auto best = std::max_element(
        pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) { return a.score < b.score; });
    if (best == pairs.end() || best->score <= 0.0) continue;
    const std::string thing = name_of(scene, best->obstacle);
    const bool crest = kind == ObstacleKind::ground;
    chosen.push_back(
        {.kind = PositionKind::pair_clear,
         .at = best->clear,
         .why = crest ? "on the crest, still in sight" : "the same distance, clear of " + thing,
         .note = {},
         .pair = number});
    chosen.push_back({.kind = PositionKind::pair_blocked,
                      .at = best->blocked,
                      .why = fmt::format("behind {}: should read {:.0f} dB less than its partner",
                                         crest ? "the crest" : thing, best->loss_db),
                      .note = {},
                      .pair = number});
    ++number;
  }
  return chosen;
}

}  // namespace sim
