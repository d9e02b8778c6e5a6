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
};

ObstacleId heaviest(const std::map<ObstacleId, double>& things) {
  ObstacleId best = no_obstacle;
  double most = -1.0;
  for (const auto& [id, share] : things) {
    if (share > most) best = id;
    most = std::max(most, share);
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
                      .obstacle = heaviest(winner.things),
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
  }
  return judgement;
}

}  // namespace sim
