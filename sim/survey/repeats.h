// Several measurements at one place.
#pragma once

#include <vector>

#include "sim/base/quantile.h"
#include "sim/survey/same_place.h"
#include "sim/survey/survey.h"

namespace sim {

/// Places measured at least twice, in the order of their first visit: rows of one name, or within
/// `same_place_m` of the first. Count, median, quartiles and interval of the median, of level and
/// rates.
std::vector<RepeatSummary> summarise_repeats(const std::vector<Measurement>& measurements,
                                             const BootstrapSettings& bootstrap = {});

}  // namespace sim
