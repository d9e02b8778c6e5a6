// Walks in summary.json: where each lost the link, and how often each place drops.
#pragma once

#include "sim/explain/explanation.h"
#include "sim/report/summary_parts.h"

namespace sim {

/// One object per stretch without a link: rows, ends, the predicted stretch, cause and agreement.
Json drop_stretches_of(const Scene& scene, const Explanation& explanation);

/// Places walked more than once, with how many of their walks dropped; and how alike the walks are.
Json repeated_places_of(const Scene& scene, const Explanation& explanation);

}  // namespace sim
