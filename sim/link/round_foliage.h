// The way round a crown or over a wood, when that is cheaper than through the leaves.
#pragma once

#include <span>

#include "sim/link/link.h"

namespace sim {

/// Share of the power that would pass a crown or canopy on the path were it opaque. A crown: round
/// the box that its ellipsoid just fills as seen along the path, four edges in power as the mean of
/// P.526 section 5.1, the bottom edge too for it hangs in the air. A canopy: over its highest top
/// where the path enters and where it leaves it, by P.526 section 4.3. Only ways that nothing else
/// closes count, and only those that would add 2 % to what comes through the leaves. 0 where an end
/// of the path is inside.
///
/// Why not the field behind the ellipse: a smooth outline gathers the edge's waves to a bright spot
/// behind its middle, which the ragged outline of a tree does not.
double share_round_foliage(const RayCaster& caster, const PathProfile& path,
                           const Crossing& crossing, Frequency f,
                           std::span<const ObstacleId> own_poles, Db through);

}  // namespace sim
