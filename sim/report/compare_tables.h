// The tables of a comparison's page.
#pragma once

#include "sim/compare/comparison.h"
#include "sim/explain/explanation.h"
#include "sim/report/page.h"

namespace sim {

PageTable groups_table(const Comparison& comparison, LengthUnits units);
PageTable edges_table(const Comparison& comparison, LengthUnits units);
PageTable differences_table(const Comparison& comparison);
/// Medians by distance bin and sight, measured and predicted.
PageTable bins_table(const Comparison& comparison, LengthUnits units);
/// By the way the phone was held or housed; empty where there is one way only.
PageTable situations_table(const Comparison& comparison);

}  // namespace sim
