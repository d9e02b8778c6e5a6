// Plots of what a walk from a node should see and what was measured, for articles.
#pragma once

#include <vector>

#include "sim/explain/explanation.h"
#include "sim/predict/drops.h"
#include "sim/report/chart.h"

namespace sim {

/// Downlink and level against the distance from the node: a line for each of the sides of streets
/// that hold farthest, and a mark for each measured point. Only what has something to show.
std::vector<NamedChart> street_charts(const Scene& scene, const std::vector<StreetWalk>& walks,
                                      const StreetVerdicts& streets,
                                      const Explanation* explanation);

}  // namespace sim
