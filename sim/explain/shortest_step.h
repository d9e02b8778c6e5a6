// How far to step to get the link back.
#pragma once

#include <optional>
#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// The nearest place where the link holds, searched outwards in rings on ground that can be walked
/// to in a straight line: nothing opaque at knee and chest height on the way. `node_id` as in
/// serving_link. nullopt within `farthest_step_m`.
std::optional<Step> shortest_step(const RayCaster& caster, const FootprintIndex& footprints,
                                  const ReceiverPoint& from, const std::string& node_id,
                                  const LinkSettings& settings, const PredictOptions& options);

inline constexpr double farthest_step_m = 25.0;

}  // namespace sim
