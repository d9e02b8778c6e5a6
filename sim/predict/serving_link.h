// The link a measured point is compared with.
#pragma once

#include <optional>
#include <string>

#include "sim/predict/prediction.h"

namespace sim {

/// The strongest sector within radius at a place; of one node only where the survey names it. An
/// empty or unknown node name asks all. nullopt when no node is in range.
std::optional<LinkResult> serving_link(const RayCaster& caster, const Receiver& receiver,
                                       const std::string& node_id, const LinkSettings& settings,
                                       const PredictOptions& options);

}  // namespace sim
