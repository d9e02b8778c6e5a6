// What leaves on the path cost.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Adds a term for each crown and canopy on the path.
void add_foliage(const Scene& scene, const PathProfile& path, Frequency f,
                 const LinkSettings& settings, std::vector<LossTerm>& terms);

}  // namespace sim
