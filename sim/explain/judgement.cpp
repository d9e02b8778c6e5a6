#include "sim/explain/judgement.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/explain/reason.h"

namespace sim {
namespace {

/// Levels that differ by less are one side of an edge; common practice, no source.
constexpr double edge_db = 6.0;
/// Places with less of the posterior are not asked.
constexpr double least_share = 1e-4;

/// What a cause has gathered, and its likeliest place.
struct Gathered {
  double share = 0.0, best = 0.0;
  std::size_t place = 0;
  std::map<ObstacleId, double> things;
  std::vector<double> by_place;
};

/// A thing is named by its record where it costs something at this part of the places at least.
constexpr double sure_enough = 0.9;
constexpr double costs_something_db = 1.5;

double cost_of_thing(const LinkResult& link, ObstacleId thing) {
  double sum = 0.0;
  for (const LossTerm& term : link.terms) {
    if (term.obstacle == thing) sum += term.loss.value;
  }
  return sum;
}

/// The thing of a cause that costs something at most of the places, weighed by their shares; none
/// where the position cannot tell which it is.
ObstacleId thing_to_name(const std::map<ObstacleId, double>& things,
                         std::span<const PossiblePlace> places, const std::vector<double>& shares) {
  ObstacleId best = no_obstacle;
  double most = 0.0, all = 0.0;
  for (const double share : shares) all += share;
  for (const auto& [id, gathered] : things) {
    if (id == no_obstacle) continue;
    double taken = 0.0;
    for (std::size_t k = 0; k < places.size(); ++k) {
      if (cost_of_thing(places[k].link, id) >= costs_something_db) taken += shares[k];
    }
    if (taken < sure_enough * all || gathered <= most) continue;
    best = id;
    most = gathered;
  }
  return best;
}

}  // namespace

Judgement judge(const RayCaster& caster, std::span<const PossiblePlace> places,
                const Verdict& verdict, const Measurement& m, double offset_db,
                const LinkSettings& settings) {
  std::map<std::pair<Reading, Cause>, Gathered> gathered;
  std::vector<std::vector<Cost>> costs(places.size());
  const LinkResult& reported = places[0].link;
  costs[0] = ranked_costs(caster, reported, settings);
  const std::vector<Reason> at_reported = reasons_at(reported, costs[0], m, offset_db, settings);
  const auto gather = [&](Reading reading, Cause cause, ObstacleId thing, double share,
                          std::size_t place) {
    Gathered& g = gathered[{reading, cause}];
    g.share += share;
    g.things[thing] += share;
    g.by_place.resize(places.size(), 0.0);
    g.by_place[place] += share;
    // The reported place tells it, unless another is plainly likelier.
    const double worth = place == 0 ? 3.0 * share : share;
    if (worth <= g.best) return;
    g.best = worth;
    g.place = place;
  };
  for (std::size_t k = 0; k < places.size(); ++k) {
    if (verdict.as_mapped[k] < least_share) continue;
    const LinkResult& link = places[k].link;
    if (k > 0) costs[k] = ranked_costs(caster, link, settings);
    const std::vector<Reason> reasons = reasons_at(link, costs[k], m, offset_db, settings);
    const bool elsewhere = std::abs((link.rsrp - reported.rsrp).value) > edge_db &&
                           reasons[0].cause != at_reported[0].cause;
    for (const Reason& reason : reasons) {
      gather(elsewhere ? Reading::position : Reading::as_mapped,
             elsewhere ? Cause::position : reason.cause, reason.obstacle,
             verdict.as_mapped[k] * reason.share, k);
    }
  }
  gather(Reading::load, Cause::load, no_obstacle, verdict.load, 0);
  gather(Reading::weaker, Cause::unmapped, no_obstacle, verdict.weaker, 0);
  gather(Reading::stronger, Cause::unmapped, at_reported[0].obstacle, verdict.stronger, 0);

  const auto most = std::max_element(
      gathered.begin(), gathered.end(),
      [](const auto& a, const auto& b) { return a.second.share < b.second.share; });
  const auto& [key, winner] = *most;
  Judgement judgement{.reading = key.first,
                      .cause = key.second,
                      .obstacle = thing_to_name(
                          winner.things, places,
                          key.first == Reading::position ? winner.by_place : verdict.as_mapped),
                      .confidence = winner.share,
                      .costs = costs[winner.place],
                      .likely = places[winner.place].link};
  if (winner.share <= 0.0) {  // a row that says nothing: what the map says, without confidence
    judgement.reading = Reading::as_mapped;
    judgement.cause = at_reported[0].cause;
    judgement.obstacle = at_reported[0].obstacle;
    judgement.likely = reported;
    judgement.costs = costs[0];
  }
  if (judgement.reading == Reading::as_mapped) {
    judgement.likely.cause = judgement.cause;
    judgement.likely.cause_obstacle = judgement.obstacle;
    for (const Cost& cost : judgement.costs) {
      const bool unnamed = judgement.obstacle == no_obstacle && cost.cause == judgement.cause;
      if (unnamed) judgement.likely.cause_obstacle = cost.obstacle;
    }
  }
  return judgement;
}

}  // namespace sim
