// Where the map is probably missing an obstacle.
#pragma once

#include <vector>

#include "sim/explain/explanation.h"
#include "sim/explain/suspect_walks.h"

namespace sim {

/// One obstacle at a time. Where rays of weaker rows pass, upright things of several sizes are put
/// in turn, and all rows, weak and good, are asked how much likelier they are with it than without
/// (suspect_walks.h): a map of the posterior. A suspect stands where most of the posterior lies
/// within Suspect::place_tolerance_m; its likelihood is that part, and counts the chance that there
/// is no obstacle at all. Then it is taken to stand there, and the search goes on for what is left.
std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRow> rows);

}  // namespace sim
