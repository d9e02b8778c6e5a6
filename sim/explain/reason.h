// What decided at one place, if the map is right there.
#pragma once

#include "sim/explain/counterfactual.h"
#include "sim/survey/survey.h"

namespace sim {

/// A cause, the thing behind it, and how sure that is at this place.
struct Reason {
  Cause cause = Cause::none;
  ObstacleId obstacle = no_obstacle;
  double share = 1.0;
};

/// The dearest thing, and the second with the chance that it is the dearer one. Where the link is
/// lost and would be so without any of them, and where it is lost with nothing in the way: plain
/// distance. Where it holds and nothing costs much: none.
std::vector<Reason> reasons_at(const LinkResult& link, const std::vector<Cost>& costs,
                               const Measurement& measurement, double offset_db,
                               const LinkSettings& settings);

/// A thing that costs less is not named: it hides in the spread of a phone's level
/// (measured_level_sigma_db); common practice, no source.
inline constexpr double least_named_db = 3.0;

}  // namespace sim
