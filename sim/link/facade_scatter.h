// What rough facades scatter to the receiver beside their mirror images.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Single scattering off every wall that the node lights and the receiver sees, summed piece by
/// piece. With two bounces or more asked for, and the direct path more than 10 dB below free space,
/// also where one of the two sees the wall in a mirror (the receiver's within 100 m). A piece
/// counts as far along the wall as both ends see it past ground, buildings, vehicles and objects.
/// What is a part in fifty of the scattering, or in a thousand of the direct path (`direct`,
/// between isotropic ends), is left out. The strongest sixteen pieces stand for all: their gains
/// are scaled to the sum. Each pays its mirror, the air, and the leaves on its legs. The same from
/// either end. `at` of a path is where the receiver sees it. None without settings.mirrors.
///
/// Source: [DEGLI-ESPOSTI-07] Lambertian model (lambert_scatter_gain), summed over the lit walls by
///         midpoints; size of the pieces and what is left out: common practice, no source.
std::vector<ScatteredPath> trace_scatter(const RayCaster& caster, NodeIndex node,
                                         Frequency frequency, ScenePoint to, Db direct,
                                         const LinkSettings& settings);

}  // namespace sim
