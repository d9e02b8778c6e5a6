// The terrain under a straight path.
#pragma once

#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// A point of the ground profile under the path: share of the way (0..1) and how far the ground
/// stands above the ray there (negative = below it).
struct GroundPoint {
  double share = 0.0;
  double above_m = 0.0;
};

/// Profile corners under the path from a to b: everywhere the path crosses a line of the terrain's
/// triangles, where alone a piecewise flat ground can bend. Places outside the raster are left out.
/// For flat ground, the one point where clearance over Fresnel radius is least; under long paths
/// also points that follow the bend of the Earth.
void ground_line(const Ground& ground, ScenePoint a, ScenePoint b, std::vector<GroundPoint>& line);

}  // namespace sim
