// What is said of a place: why none is usable, and that it lies in a house.
#pragma once

#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// Why: no usable position, off the ground of the site, no node at all, or none near.
std::string sentence_without_link(const Scene& scene, const ExplainedPoint& point,
                                  const PredictOptions& options, LengthUnits units);

/// That the phone stands in a building, though nothing says it is behind its glass: the position or
/// the footprint is off. Empty elsewhere.
std::string house_around(const Scene& scene, const LinkResult& link);

}  // namespace sim
