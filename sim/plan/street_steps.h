// Steps outward along the streets, counted from the foot of a node.
#pragma once

#include <vector>

#include "sim/plan/planned.h"

namespace sim {

/// What all parts of a plan look at; all must outlive it.
struct PlanGround {
  const RayCaster& caster;
  const LinkSettings& settings;
  const std::vector<WalkerStreet>& ways;
  const StreetGraph& graph;
  const Footways& footways;
  const FootprintIndex& footprints;
  double step_m = 30.0, reach_m = 400.0, height_agl_m = 1.5;
};

/// A step: a place on a centre line, walked `along_m` to from the node's foot.
struct StreetStep {
  std::size_t piece = 0;
  double on_piece_m = 0.0;
  double along_m = 0.0;
  std::size_t before = none;  ///< the one one step nearer on the same walk
  static constexpr std::size_t none = static_cast<std::size_t>(-1);
};

/// Every step_m of walking from the node's foot, on all streets within reach (walked), nearest
/// first.
std::vector<StreetStep> steps_of(const PlanGround& ground, const Walks& walks, double step_m);

/// A place beside a step on one side, moved along the piece by `shift_m`; no link yet. nullopt,
/// and why, where nobody may stand.
std::optional<Candidate> stand_at(const PlanGround& ground, const Walks& walks,
                                  const StreetStep& step, NodeIndex node, bool left, double shift_m,
                                  Unfit& unfit);

/// What a phone that faces the node reads: the link of the node's best sector. `louder`, where
/// given, gets the index of a node that is louder there by more than served_by_db, or the node's.
void predict_at(const PlanGround& ground, Candidate& candidate, NodeIndex* louder = nullptr);

}  // namespace sim
