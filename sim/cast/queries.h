// How the kernel's hits are judged. Only for the sources of this room.
#pragma once

#include "sim/cast/kernel.h"

namespace sim {

/// Filter: keeps every hit in the query's list and lets the ray go on.
void collect_hits(const RTCFilterFunctionNArguments* args);

/// Filter: refuses a hit on what is to be passed, and a hit near an edge that only float rounding
/// makes: the ray then goes on. The ground's edges are no silhouettes, so its hits stand.
void refuse_false_hits(const RTCFilterFunctionNArguments* args);

/// A query by one of them. The segments are the true rays, by ray id.
QueryContext query_for(const Kernel& kernel, const Segment* segments, const Transparent& through,
                       RTCFilterFunctionN filter);

}  // namespace sim
