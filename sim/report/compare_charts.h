// The pictures of a comparison.
#pragma once

#include <vector>

#include "sim/compare/comparison.h"
#include "sim/report/chart.h"

namespace sim {

/// Rates, latency, level and links against distance; edges; differences; predicted against
/// measured. Only what has something to show.
std::vector<NamedChart> compare_charts(const Comparison& comparison);

}  // namespace sim
