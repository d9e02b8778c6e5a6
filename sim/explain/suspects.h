// Where the map is probably missing an obstacle: rays of weaker points cross there, and those of
// good points do not.
#pragma once

#include <vector>

#include "sim/explain/explanation.h"

namespace sim {

/// A measured point's direct ray, and what it says.
struct SuspectRay {
  std::size_t point = 0;  ///< index among the explained points
  NodeIndex node = 0;
  ScenePoint phone;
  /// Log of how much likelier the measurement is if something unmapped takes the ray than if not.
  double log_ratio = 0.0;
  double place_sigma_m = 2.0;  ///< standard deviation of the phone's place along each axis
};

/// One obstacle at a time. Every square metre that a weaker ray passes is asked, for several widths
/// and heights of an upright thing there: each ray that it would take, as surely as the phone's
/// place tells, adds its log_ratio; a ray that passes over it or ends before it adds nothing. A
/// suspect is where most of the posterior lies; its likelihood counts the chance that there is no
/// obstacle at all. The rays it explains are then spoken for, and the search goes on for what is
/// left.
std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRay> rays);

}  // namespace sim
