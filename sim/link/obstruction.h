// What stands in the way: the sight it leaves, and the terms it costs.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// los, olos or nlos by the rule of the contract (section 11).
Sight sight_of(const Scene& scene, const PathProfile& path, double wavelength_m);

/// A path as its obstructions see it.
struct PathSight {
  const RayCaster& caster;
  const PathProfile& path;
  Frequency frequency;
  std::span<const ObstacleId> ignored;  ///< things that do not count: a node's own pole, a mirror
  double sway_m;                        ///< of the receiver, LinkSettings::sway_m
};

/// Adds the terms of edges and screens on the path or near it. The total is never less than that of
/// the worst thing alone, does not depend on the order of the things, and an opaque thing added to
/// the scene never lowers it.
void add_obstruction_terms(const PathSight& sight, std::vector<LossTerm>& terms);

}  // namespace sim
