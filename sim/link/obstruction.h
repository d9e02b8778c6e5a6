// What stands in the way: the sight it leaves, and the terms it costs.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// los, olos or nlos by the rule of the contract (section 11).
Sight sight_of(const Scene& scene, const PathProfile& path, double wavelength_m);

/// Adds the terms of edges and screens on the path.
void add_obstruction_terms(const RayCaster& caster, const PathProfile& path, Frequency frequency,
                           std::span<const ObstacleId> own_poles, std::vector<LossTerm>& terms);

}  // namespace sim
