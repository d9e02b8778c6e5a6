// Where the map is probably missing an obstacle: the rays of weaker points cross there, and those
// of good points do not.
#pragma once

#include <vector>

#include "sim/explain/explanation.h"

namespace sim {

/// A measured point's direct ray, and what it says.
struct SuspectRay {
  std::size_t point = 0;  ///< index among the explained points
  NodeIndex node = 0;
  ScenePoint phone;
  bool weaker = false;  ///< by something that is not in the map; else the ray is known to be free
};

/// One obstacle at a time: the plan cell that explains most, until what is left explains no two
/// rays and no single ray well. Likelihoods compare each cell with every other cell of its rays,
/// and with the chance that no obstacle is behind them.
std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRay> rays);

}  // namespace sim
