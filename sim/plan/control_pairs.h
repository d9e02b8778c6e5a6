// Matched pairs: the same distance with and without one obstacle.
#pragma once

#include <vector>

#include "sim/plan/step_positions.h"

namespace sim {

/// One pair for each kind of obstacle that can be met: behind it and clear of it, at distances
/// within a twentieth of each other and under antenna gains within 3 dB. Behind the ground the
/// clear half is on the crest, and so nearer; the prediction allows for that. `fine` are
/// candidates on both sides of the streets, with sight looked at and no links yet.
std::vector<Chosen> control_pairs(const PlanGround& ground, NodeIndex node,
                                  const std::vector<Candidate>& fine);

}  // namespace sim
