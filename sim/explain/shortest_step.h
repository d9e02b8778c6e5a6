// How far to step to get the link back.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/explain/explanation.h"

namespace sim {

/// Where the one who steps may be standing, and how likely that is (any scale).
struct StartingPlace {
  ReceiverPoint stand;
  double share = 1.0;
};

/// The shortest step that brings the link back from nearly all of the places one may be standing at
/// (`sure_share` of their shares), searched outwards in rings. From each of them it must lead over
/// ground, to outside of buildings, in a straight line with nothing opaque at knee and chest
/// height. `node_id` as in serving_link. nullopt within `farthest_step_m`.
std::optional<Step> shortest_step(const RayCaster& caster, const FootprintIndex& footprints,
                                  std::vector<StartingPlace> from, const std::string& node_id,
                                  const LinkSettings& settings, const PredictOptions& options);

inline constexpr double farthest_step_m = 25.0;
inline constexpr double sure_share = 0.98;  // common practice, no source

}  // namespace sim
