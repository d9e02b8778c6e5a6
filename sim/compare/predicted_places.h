// What the map foretells at places that nobody has measured yet.
#pragma once

#include "sim/compare/gather.h"

namespace sim {

/// The group of a node's places; groups are sites or nodes.
std::string place_group(const Node& node, const GatherOptions& options);

/// Adds the stations of every street within the radius, or for a site without streets the cells of
/// a grid of at least least_cell_m, each with its best link.
void add_predicted_places(const RayCaster& caster, const LinkSettings& settings,
                          const GatherOptions& options, ComparedSite& site);

inline constexpr double least_cell_m = 5.0;  // a bin needs no finer map; common practice, no source

}  // namespace sim
