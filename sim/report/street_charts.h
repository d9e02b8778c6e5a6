// Plots of what a walk from a node should see and what was measured, for articles.
#pragma once

#include <string>
#include <vector>

#include "sim/explain/explanation.h"
#include "sim/predict/drops.h"

namespace sim {

struct StreetChart {
  std::string name;  ///< of its file, without ".svg"
  std::string title, description;
  std::string drawing;  ///< as the canvas gives it
};

/// Downlink and level against the distance from the node: a line for each of the sides of streets
/// that hold farthest, and a mark for each measured point. Only what has something to show.
std::vector<StreetChart> street_charts(const Scene& scene, const std::vector<StreetWalk>& walks,
                                       const StreetVerdicts& streets,
                                       const Explanation* explanation);

}  // namespace sim
