// One group by itself: its tables, edges and agreement.
#pragma once

#include "sim/compare/comparison.h"

namespace sim {

/// `stretches` and `places` of this group only, in any order.
GroupResult group_result(const std::string& label, const std::vector<const Stretch*>& stretches,
                         const std::vector<const PredictedPlace*>& places, int bins,
                         const CompareSettings& settings);

}  // namespace sim
