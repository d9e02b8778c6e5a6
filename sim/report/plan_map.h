// The small map of a field sheet.
#pragma once

#include <string>

#include "sim/plan/plan.h"

namespace sim {

/// An inline SVG `width_px` wide: buildings, streets, nodes with their sectors, the walk and the
/// numbered positions, with scale bar and north.
std::string plan_map_svg(const Scene& scene, const Plan& plan, double width_px, LengthUnits units);

}  // namespace sim
