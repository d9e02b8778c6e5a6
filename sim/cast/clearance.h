// How free the direct path is: distance to the nearest opaque surface, by the measure of the
// Fresnel zone.
#pragma once

#include <span>

#include "sim/cast/ray_caster.h"
#include "sim/cast/things_near.h"
#include "sim/cast/upright_shapes.h"
#include "sim/cast/wall_view.h"

namespace sim {

/// Of a path whose crossings are known, with what is near it. Blocked: minus the least of how far
/// the deciding thing reaches above, left and right. Free: distance to the surface that is nearest
/// in first-zone radii, searched to `corridor_radii` of them; the ground by its height under the
/// path.
Clearance clearance_of(const Scene& scene, const UprightShapes& shapes, const PathProfile& path,
                       double wavelength_m, const Transparent& through,
                       std::span<const NearThing> near, WallRoom& room);

}  // namespace sim
