// A position every step along the streets that keep sight of a node, until beyond the edge.
#pragma once

#include <map>
#include <vector>

#include "sim/plan/street_steps.h"

namespace sim {

/// A place taken into the plan, before it has a number.
struct Chosen {
  PositionKind kind = PositionKind::step;
  Candidate at;
  std::string why, note;
  int pair = -1;  ///< halves of one pair share it
};

struct NodeSteps {
  std::vector<Chosen> chosen;  ///< outward
  std::vector<StreetGap> gaps;
  bool any_sight = false;  ///< a step with sight was found, kept or not
  double edge_m = 0.0;     ///< straight, of the farthest step in sight that should hold
};

/// Of each step the side of the street, and the shift by at most a twentieth of a step, that keep
/// sight best; the side of the step before where both do. Past two steps in a row that should not
/// hold a walk ends; where sight ends before coverage does, the first step without both is kept as
/// `beyond`.
NodeSteps step_positions(const PlanGround& ground, NodeIndex node, const Walks& walks);

/// "building way/12", or "the ground": what comes last between a node and a place without sight.
std::string what_blocks(const PlanGround& ground, const Candidate& candidate);

}  // namespace sim
