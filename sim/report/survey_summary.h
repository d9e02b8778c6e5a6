// The survey's own parts of summary.json.
#pragma once

#include "sim/explain/explanation.h"
#include "sim/report/summary_parts.h"

namespace sim {

Json repeats_json(const Survey& survey);
Json pairs_json(const Survey& survey, const Explanation& explanation);
Json set_aside_json(const Survey& survey);  ///< by reason, with count and rows

}  // namespace sim
