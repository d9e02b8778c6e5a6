// What can be said of a row that has no link to compare with.
#pragma once

#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// Why: no usable position, off the ground of the site, no node at all, or none near.
std::string sentence_without_link(const Scene& scene, const ExplainedPoint& point,
                                  const PredictOptions& options, LengthUnits units);

}  // namespace sim
