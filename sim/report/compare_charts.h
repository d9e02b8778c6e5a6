// The pictures of a comparison.
#pragma once

#include <string>
#include <vector>

#include "sim/compare/comparison.h"

namespace sim {

struct CompareChart {
  std::string name;  ///< of its file, without ".svg"
  std::string title, description;
  std::string drawing;  ///< as the canvas gives it
};

/// Rates, latency, level and links against distance; edges; differences; predicted against
/// measured. Only what has something to show.
std::vector<CompareChart> compare_charts(const Comparison& comparison);

}  // namespace sim
