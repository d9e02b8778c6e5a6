// What leaves on the path cost.
#pragma once

#include <span>
#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Adds a term for each crown and canopy on the path, each with its band. The loss goes by the
/// depth of foliage on the path, where overlapping crowns count once, and is shared out by each
/// one's part of it. Of each crown and canopy, the way through and the way round or over it add in
/// power; the model of the term tells which carries more.
void add_foliage(const RayCaster& caster, const PathProfile& path, Frequency f,
                 std::span<const ObstacleId> own_poles, const LinkSettings& settings,
                 std::vector<LossTerm>& terms);

/// Part of each crossing in the depth of foliage on the path, m: their sum is the length on which
/// there is any. Crowns are exact; a canopy with clearings counts as spread evenly between its ends
/// where it overlaps others. Other crossings get 0.
std::vector<double> foliage_parts_m(const Scene& scene, const PathProfile& path);

/// Fills foliage_low, foliage_high and foliage_spread_db from the terms. Trees on one path err
/// alike, so their bands add; low and high are taken as a normal spread's 10th and 90th per cent.
void measure_foliage_band(LinkResult& link, const LinkSettings& settings);

}  // namespace sim
