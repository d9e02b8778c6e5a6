// The detours past ground and buildings.
#pragma once

#include <optional>
#include <vector>

#include "sim/link/obstruction.h"
#include "sim/loss/edge_chain.h"

namespace sim {

/// One way past what blocks: edges in series, seen from the direct path.
struct Way {
  std::vector<ProfileEdge> edges;  ///< offsets outwards from the direct path
  std::vector<ObstacleId> owners;  ///< of each edge
  EdgeChainLoss chain;
};

/// Over the tops: the edges that decide in the vertical plane of the path, of the ground and of
/// every building under it. No edges where nothing reaches the zone.
Way way_over(const PathSight& sight);

/// Round the corners on one side of what blocks, at the height of the path. nullopt where there is
/// no such way, or where it surely costs more than `worth`.
std::optional<Way> way_round(const PathSight& sight, bool left, Db worth);

}  // namespace sim
