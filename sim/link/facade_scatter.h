// What rough facades scatter to the receiver beside their mirror images.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Single scattering off the walls that the node lights, each as a piece about the point where
/// either end stands before it, three times as wide as that end is near: from there nearly all of
/// it comes. At most eight pieces, the strongest, each seen by both ends past ground, buildings and
/// objects. A bounded extra: together they send no more than scattering^2 of what meets them. None
/// without settings.mirrors.
///
/// Source: [DEGLI-ESPOSTI-07] Lambertian model (lambert_scatter_gain); the choice of pieces is
/// common practice, no source.
std::vector<ScatteredPath> trace_scatter(const RayCaster& caster, NodeIndex node,
                                         Frequency frequency, ScenePoint to,
                                         const LinkSettings& settings);

}  // namespace sim
