// The detours past ground and buildings.
#pragma once

#include <array>
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

/// Round the corners on either side of what blocks, at the height of the path; left and right.
/// nullopt where there is no such way, or where it surely costs more than `worth`.
std::array<std::optional<Way>, 2> ways_round(const PathSight& sight, Db worth);

}  // namespace sim
