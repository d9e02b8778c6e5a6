// What stands before each cell of a grid, by the ray caster alone: cheap enough for every cell of
// the first frame.
#pragma once

#include <cstdint>
#include <vector>

#include "sim/serve/street_lattice.h"

namespace sim {

/// In the order of what they leave of a link. `wide` is `nlos` and `leaves` is `olos` for sure; of
/// a `free` ray only a ledger tells whether the Fresnel zone is free too, of a `narrow` one only a
/// ledger tells whether what stands there is wider than the zone.
enum class RayClass : std::uint8_t { free, leaves, narrow, wide };

/// An open cell within reach, and the node that its first look goes to: of the best class, and of
/// these the nearest.
struct SeenCell {
  std::uint32_t cell = 0;  ///< index in the grid
  ScenePoint phone;
  NodeIndex node = 0;
  RayClass ray = RayClass::free;
  std::uint32_t kind() const { return node * 4U + static_cast<std::uint32_t>(ray); }
};

/// The open cells within radius_m of a node, in the order of the grid. On all threads.
std::vector<SeenCell> seen_cells(const RayCaster& caster, const StreetLattice::Ground& ground,
                                 const GridSpec& spec, const PredictOptions& options);

}  // namespace sim
