// Positions that cannot be where the phone was.
#pragma once

#include <optional>
#include <vector>

#include "sim/gis/crs.h"

namespace sim {

/// A row with a position and a time, in the order it was written.
struct TimedPlace {
  Xy place;
  double time_s = 0.0;
  double accuracy_m = 0.0;
};

/// Positions (in the list) that no one can have come to and left at `fastest_m_per_s`, within both
/// accuracies: of the stretches between jumps, those that can follow each other and hold the most
/// rows are believed, and the others returned unless they are long: then the walk went on there,
/// and no one can say which side is wrong. Where time stands still or runs back, nothing is known.
std::vector<std::size_t> speed_jumps(const std::vector<TimedPlace>& walk, double fastest_m_per_s);

/// Positions farther than `farthest_m` from all of `near`; from the median of themselves where
/// `near` is empty.
std::vector<std::size_t> far_places(const std::vector<Xy>& places, std::vector<Xy> near,
                                    double farthest_m);

}  // namespace sim
