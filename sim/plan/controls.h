// Single controls: off the sectors' side, in a parked car, and where most is to be learned.
#pragma once

#include <string>
#include <vector>

#include "sim/plan/step_positions.h"
#include "sim/survey/survey.h"

namespace sim {

/// The loudest place in sight that every sector of the node looks away from (pattern loss of at
/// least sector_edge_db, which still should be measurable). Empty, with a note, where there is
/// none.
std::vector<Chosen> off_side(const PlanGround& ground, NodeIndex node,
                             const std::vector<Candidate>& fine, std::vector<std::string>& notes);

/// A parked car beside a place in sight: on mapped parking where the map knows any, else at the
/// kerb, with a note that the tester has to see that parking is legal there. Never in a lane.
std::vector<Chosen> in_car(const PlanGround& ground, NodeIndex node, const WalkingMap& map,
                           const std::vector<Candidate>& fine, std::vector<std::string>& notes);

/// Places that tell most of what the survey cannot tell yet, apart from those taken already.
std::vector<Chosen> informative(const PlanGround& ground, const std::vector<Candidate>& fine,
                                const std::vector<Chosen>& taken, const Survey* measured,
                                std::vector<std::string>& notes);

}  // namespace sim
