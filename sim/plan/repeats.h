// How often to read a place, and why so often.
#pragma once

#include <string>

#include "sim/plan/planned.h"

namespace sim {

struct Repeats {
  std::size_t count = 1;
  std::string why;
};

/// Of a place that should surely hold or drop: readings that give the median an interval, and the
/// mean to within plan_level_db (z s / E)^2. Of one near the edge: readings that tell the share
/// with a link to within plan_share, p (1 - p) (z / E)^2. Of a pair: readings on each side that
/// show the predicted difference with pair_power. Readings spread by measured_level_sigma_db.
/// Source: normal approximations of a mean and of a proportion, W. G. Cochran, Sampling Techniques,
/// 1977, from memory; two samples as repeats_needed().
Repeats repeats_for(const LinkResult& link, const Defaults& defaults,
                    std::optional<double> pair_difference_db);

}  // namespace sim
