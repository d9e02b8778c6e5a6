// From shares of what may be behind a row to one cause.
#pragma once

#include <span>

#include "sim/explain/verdict.h"

namespace sim {

struct Judgement {
  Reading reading = Reading::as_mapped;
  Cause cause = Cause::none;
  ObstacleId obstacle = no_obstacle;
  double confidence = 0.0;
  std::vector<Cost> costs;  ///< at the place of `likely`
  LinkResult likely;        ///< where the cause is as said; its own cause set to it
};

/// Sums the shares by cause. A place within the position's accuracy whose level and cause are not
/// those of the reported place counts for `position`: the point straddles the edge of a shadow.
Judgement judge(const RayCaster& caster, std::span<const PossiblePlace> places,
                const Verdict& verdict, const Measurement& measurement, double offset_db,
                const LinkSettings& settings);

}  // namespace sim
