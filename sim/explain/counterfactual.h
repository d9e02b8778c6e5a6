// What each thing costs a link, by asking how the link would be without it.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// How much the level would rise without one thing, or one kind of things.
struct Cost {
  Cause cause = Cause::none;
  ObstacleId obstacle = no_obstacle;  ///< the one of its kind that costs most
  Db cost;                            ///< of all things of that cause together, > 0
  Db spread;                          ///< standard deviation of `cost`
};

/// What stands in the way by kind, the edge of the beam, what the phone is in and how it is turned:
/// dearest first, each at least `least_cost_db`. Things are taken out of the scene and the path is
/// priced again, so that of two walls in a row, either of which would do, the pair is what costs.
/// Ground cannot be taken out; it costs what the ledger says. Other paths add in power.
std::vector<Cost> ranked_costs(const RayCaster& caster, const LinkResult& link,
                               const LinkSettings& settings);

/// How much the level would rise without this record alone, everything else in its place. Ground
/// cannot be taken out; it costs what the ledger says.
Db cost_of_record(const RayCaster& caster, const LinkResult& link, ObstacleId record,
                  const LinkSettings& settings);

inline constexpr double least_cost_db = 0.5;
/// Standard deviation of what an edge costs, priced by an idealised outline; common practice, no
/// source.
inline constexpr double edge_sigma_db = 2.0;

}  // namespace sim
