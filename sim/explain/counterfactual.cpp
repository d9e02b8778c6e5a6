#include "sim/explain/counterfactual.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/link/foliage_terms.h"
#include "sim/link/obstruction.h"

namespace sim {
namespace {

bool in_the_way(const LossTerm& term) {
  return term.group == TermGroup::diffraction || term.group == TermGroup::foliage;
}

double obstruction_db(const std::vector<LossTerm>& terms) {
  double sum = 0.0;
  for (const LossTerm& term : terms) {
    if (in_the_way(term)) sum += term.loss.value;
  }
  return sum;
}

/// The direct path of a link, priced again with things left out.
class Without {
 public:
  Without(const RayCaster& caster, const LinkResult& link, const LinkSettings& settings)
      : caster_(caster),
        link_(link),
        settings_(settings),
        node_(caster.scene().nodes[link.node]),
        frequency_(node_.sectors[link.sector].frequency),
        now_db_(obstruction_db(link.terms)) {}

  /// What the direct path gains without those.
  double gain_db(const std::set<ObstacleId>& absent) const {
    std::vector<ObstacleId> ignored = node_.own_poles;
    ignored.insert(ignored.end(), absent.begin(), absent.end());
    const PathProfile path =
        caster_.profile(node_.position, link_.receiver.position, frequency_.wavelength_m(),
                        {.blocking = everything_mask, .ignored = ignored});
    std::vector<LossTerm> terms;
    add_obstruction_terms({caster_, path, frequency_, ignored, settings_.sway_m}, terms);
    add_foliage(caster_, path, frequency_, ignored, settings_, terms);
    return std::max(now_db_ - obstruction_db(terms), 0.0);
  }

 private:
  const RayCaster& caster_;
  const LinkResult& link_;
  const LinkSettings& settings_;
  const Node& node_;
  Frequency frequency_;
  double now_db_;
};

/// What the level gains when the direct path gains that much and other paths stay as they are.
Db with_other_paths(const LinkResult& link, double direct_gain_db) {
  const double direct = std::pow(10.0, -0.1 * link.reflection_gain.value);  // of the whole power
  return Db(10.0 * std::log10(1.0 + direct * (std::pow(10.0, 0.1 * direct_gain_db) - 1.0)));
}

/// All things of a cause on the path or beside it.
std::set<ObstacleId> things_of(const Scene& scene, const LinkResult& link, Cause cause) {
  std::set<ObstacleId> things;
  const auto add = [&](ObstacleId id) {
    if (id != no_obstacle && cause_of(scene.obstacles[id].kind) == cause) things.insert(id);
  };
  for (const Crossing& c : link.path.crossings) add(c.obstacle);
  for (const Passing& p : link.path.passing) add(p.obstacle);
  for (const LossTerm& term : link.terms) add(term.obstacle);
  return things;
}

/// What the ledger says of a cause in the way.
double ledger_db(const LinkResult& link, Cause cause) {
  double sum = 0.0;
  for (const LossTerm& term : link.terms) {
    if (term.cause == cause && in_the_way(term)) sum += term.loss.value;
  }
  return sum;
}

/// The one thing whose absence helps most; of several that stand in for each other, the dearest of
/// the ledger.
ObstacleId dearest_thing(const LinkResult& link, Cause cause, const std::set<ObstacleId>& things,
                         const Without& without, double together_db) {
  constexpr double alone_share = 0.3;  // less of the whole is no reason to name it alone
  constexpr std::size_t most_asked = 8;
  ObstacleId best = no_obstacle, dearest = no_obstacle;
  double best_db = alone_share * together_db, dearest_db = -1.0;
  for (const LossTerm& term : link.terms) {
    if (term.cause != cause || !in_the_way(term) || term.loss.value <= dearest_db) continue;
    dearest = term.obstacle;
    dearest_db = term.loss.value;
  }
  if (things.size() == 1) return *things.begin();
  if (things.size() <= most_asked) {
    for (const ObstacleId id : things) {
      const double gain = without.gain_db({id});
      if (gain <= best_db) continue;
      best = id;
      best_db = gain;
    }
  }
  return best == no_obstacle ? dearest : best;
}

double spread_db(const LinkResult& link, Cause cause) {
  double squares = cause == Cause::foliage ? link.foliage_spread_db * link.foliage_spread_db : 0.0;
  for (const LossTerm& term : link.terms) {
    if (term.cause != cause) continue;
    squares += term.spread.value * term.spread.value;
    if (term.group == TermGroup::diffraction) squares += edge_sigma_db * edge_sigma_db;
  }
  return std::sqrt(squares);
}

}  // namespace

Db cost_of_record(const RayCaster& caster, const LinkResult& link, ObstacleId record,
                  const LinkSettings& settings) {
  const std::vector<Obstacle>& obstacles = caster.scene().obstacles;
  const Cause cause = cause_of(obstacles[record].kind);
  std::set<ObstacleId> parts = things_of(caster.scene(), link, cause);
  if (!parts.contains(record)) return Db(0.0);
  if (cause == Cause::terrain) return with_other_paths(link, ledger_db(link, cause));
  // The crown and the trunk of a tree are two obstacles of one record.
  std::erase_if(parts, [&](ObstacleId part) {
    return part != record &&
           (obstacles[part].id.empty() || obstacles[part].id != obstacles[record].id);
  });
  const double gain = Without(caster, link, settings).gain_db(parts);
  return with_other_paths(link, gain);
}

std::vector<Cost> ranked_costs(const RayCaster& caster, const LinkResult& link,
                               const LinkSettings& settings) {
  const Scene& scene = caster.scene();
  const Without without(caster, link, settings);
  std::vector<Cost> costs;
  std::set<Cause> causes;
  double enclosure = 0.0, body = 0.0;
  for (const LossTerm& term : link.terms) {
    if (in_the_way(term) && term.loss.value > 0.0) causes.insert(term.cause);
    if (term.group != TermGroup::penetration) continue;
    (term.cause == Cause::body ? body : enclosure) += term.loss.value;
  }
  for (const Cause cause : causes) {
    const std::set<ObstacleId> things = things_of(scene, link, cause);
    double gain = 0.0;
    ObstacleId thing = things.empty() ? no_obstacle : *things.begin();
    if (cause == Cause::terrain) {
      gain = ledger_db(link, cause);
    } else {
      gain = without.gain_db(things);
      if (gain > least_cost_db) thing = dearest_thing(link, cause, things, without, gain);
    }
    costs.push_back({cause, thing, with_other_paths(link, gain), Db(spread_db(link, cause))});
  }
  if (-link.pattern.value > settings.defaults("sector_edge_db")) {
    costs.push_back({Cause::sector, no_obstacle, -link.pattern, Db(edge_sigma_db)});
  }
  costs.push_back(
      {Cause::enclosure, no_obstacle, Db(enclosure), Db(spread_db(link, Cause::enclosure))});
  // A phone as it is held is turned no particular way: nothing to blame.
  const Facing& facing = link.receiver.facing ? *link.receiver.facing : settings.facing;
  const Db turned = facing.way == Facing::Way::held ? Db(0.0) : link.turned_away;
  costs.push_back({Cause::body, no_obstacle, Db(body) + turned, Db(spread_db(link, Cause::body))});
  std::erase_if(costs, [](const Cost& c) { return c.cost.value < least_cost_db; });
  std::stable_sort(costs.begin(), costs.end(),
                   [](const Cost& a, const Cost& b) { return a.cost > b.cost; });
  return costs;
}

}  // namespace sim
