// Chosen places become numbered positions in the order of the walk.
#pragma once

#include <vector>

#include "sim/plan/landmarks.h"
#include "sim/plan/route.h"
#include "sim/plan/step_positions.h"

namespace sim {

/// Fills positions and route of the plan. The walk begins at [plan] route_start, else at the foot
/// of the first node. Throws InputError for a start off the ground.
void number_in_walking_order(Plan& plan, const PlanGround& ground, const ImportedSite& imported,
                             const std::vector<NodeIndex>& nodes, const std::vector<Chosen>& chosen,
                             const Landmarks& landmarks, LengthUnits units);

}  // namespace sim
