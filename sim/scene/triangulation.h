// Flat polygons to triangles, exactly.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

namespace sim {

struct FlatPoint {
  double x_m = 0.0, y_m = 0.0;
};
/// Open rings: the shell first, then holes, any orientation.
using FlatRings = std::vector<std::vector<FlatPoint>>;

/// Triangles over the ring points, numbered through all rings in order, counter-clockwise. nullopt
/// when their areas do not add up to the polygon's (rings that cross): then only the walls can be
/// used.
std::optional<std::vector<std::array<std::uint32_t, 3>>> triangulate(const FlatRings& rings);

/// Shell minus holes, whatever the orientation.
double polygon_area_m2(const FlatRings& rings);

}  // namespace sim
