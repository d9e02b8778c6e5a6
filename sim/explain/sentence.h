// The answer in plain words.
#pragma once

#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// One or two sentences: what stands in the way and what it costs, how the measurement compares,
/// and the step that mends it. `point` has everything but its sentence.
std::string sentence_of(const Scene& scene, const ExplainedPoint& point,
                        const PredictOptions& options, LengthUnits units);

}  // namespace sim
