// Groups against each other, inside a car against outside, out of sight against in.
#pragma once

#include "sim/compare/comparison.h"

namespace sim {

using GroupedStretches = std::vector<std::pair<std::string, std::vector<const Stretch*>>>;

/// Pairs of groups (all, or each with the first when they are many), at like distance, sight and
/// way of holding; then within each group outdoors against every other way at like distance and
/// sight, and in sight against out of it at like distance and way of holding.
std::vector<Contrast> contrasts_of(const GroupedStretches& groups, bool every_pair,
                                   const BootstrapSettings& settings);

}  // namespace sim
