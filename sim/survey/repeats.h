// Several measurements at one place.
#pragma once

#include <vector>

#include "sim/base/quantile.h"
#include "sim/survey/survey.h"

namespace sim {

/// Places measured at least twice, in the order of their first visit: a row belongs to the first
/// place within `same_place_m` of it. Median and interquartile range of level and downlink.
std::vector<RepeatSummary> summarise_repeats(const std::vector<Measurement>& measurements);

inline constexpr double same_place_m = 3.0;  // common practice, no source

}  // namespace sim
