// What ground and buildings cost: over them, and round their corners.
#pragma once

#include <vector>

#include "sim/link/obstruction.h"

namespace sim {

/// Adds the terms of ground and buildings on or near the path; one per thing of the way that lets
/// most through.
///
/// Blocked: three ways lead on, over the tops (the profile of ground and roofs in the vertical
/// plane of the path) and round the corners on the left and right (each leg of a detour checked by
/// rays, wrapped round what blocks it). The nearest edges of the three make one upright outline,
/// whose field is Kirchhoff's (upright_screen_loss); what further edges in series on a way cost
/// more than its first (edge_chain_loss) is added by the share of power that the way carries. Not
/// blocked: edges below the path by their chain, and on each side the wall that costs most.
void add_wide_terms(const PathSight& sight, std::vector<LossTerm>& terms);

}  // namespace sim
