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

/// A record is named where, taken out alone, it would change the level by this much at so large a
/// part of all that may be behind the row; common practice, no source.
constexpr double sure_enough = 0.9;
constexpr double costs_something_db = 1.0;
constexpr double least_asked_share = 1e-3;  ///< of places: fewer do not change it

/// Logistic calibration of a posterior: the log of its odds times `sharpness`.
/// Source: Platt 1999, without its constant, from memory.
double calibrated(double share, double sharpness) {
  const double yes = std::pow(share, sharpness),
               no = std::pow(std::max(1.0 - share, 0.0), sharpness);
  return yes > 0.0 ? yes / (yes + no) : 0.0;
}

/// What records cost by themselves at the possible places.
class Records {
 public:
  Records(const RayCaster& caster, std::span<const PossiblePlace> places,
          const LinkSettings& settings)
      : caster_(caster), places_(places), settings_(settings) {}

  bool cost_something(std::size_t place, ObstacleId record) const {
    return record != no_obstacle &&
           cost_of_record(caster_, places_[place].link, record, settings_).value >=
               costs_something_db;
  }

  /// The record of a cause that can be named; none where the places cannot tell which it is.
  /// `shares` of the places, out of `all`.
  ObstacleId to_name(const std::map<ObstacleId, double>& gathered,
                     const std::vector<double>& shares, double all) const {
    const auto most =
        std::max_element(gathered.begin(), gathered.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    double costly = 0.0;
    for (std::size_t k = 0; k < shares.size(); ++k) {
      const bool asked = shares[k] >= least_asked_share && cost_something(k, most->first);
      costly += asked ? shares[k] : 0.0;
    }
    return costly >= sure_enough * all ? most->first : no_obstacle;
  }

 private:
  const RayCaster& caster_;
  std::span<const PossiblePlace> places_;
  const LinkSettings& settings_;
};

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
  const Records records(caster, places, settings);
  Judgement judgement{
      .reading = key.first,
      .cause = key.second,
      .confidence = calibrated(winner.share, settings.defaults("confidence_sharpness")),
      .costs = costs[winner.place],
      .likely = places[winner.place].link};
  if (key.first == Reading::position) {
    judgement.obstacle = records.to_name(winner.things, winner.by_place, winner.share);
  } else if (key.first == Reading::as_mapped) {
    judgement.obstacle = records.to_name(winner.things, verdict.as_mapped, 1.0);
  } else if (key.first == Reading::stronger && records.cost_something(0, at_reported[0].obstacle)) {
    judgement.obstacle = at_reported[0].obstacle;  // what may be lower or gone
  }
  if (winner.share <= 0.0) {  // a row that says nothing: what the map says, without confidence
    judgement.reading = Reading::as_mapped;
    judgement.cause = at_reported[0].cause;
    judgement.obstacle =
        records.cost_something(0, at_reported[0].obstacle) ? at_reported[0].obstacle : no_obstacle;
    judgement.likely = reported;
    judgement.costs = costs[0];
  }
  if (judgement.reading == Reading::as_mapped) {
    judgement.likely.cause = judgement.cause;
    judgement.likely.cause_obstacle = judgement.obstacle;
    for (const Cost& cost : judgement.costs) {
      const bool unnamed = judgement.obstacle == no_obstacle && cost.cause == judgement.cause;
      if (unnamed && records.cost_something(winner.place, cost.obstacle)) {
        judgement.likely.cause_obstacle = cost.obstacle;
      }
    }
  }
  return judgement;
}

}  // namespace sim
