// Which explanation fits a measured point best.
#pragma once

#include "sim/explain/evidence.h"
#include "sim/explain/explanation.h"

namespace sim {

struct Verdict {
  Reading reading = Reading::as_mapped;
  double confidence = 0.0;  ///< posterior of the reading
};

/// Weighs the readings by Bayes' rule. `offset_db` is by how much the node's levels are off as a
/// whole; `nearby_dbm` are predicted levels within the position's
/// accuracy. A row that says nothing about the level gets as_mapped with confidence 0.
/// Priors and the spread of unmapped losses are common practice, no source.
Verdict weigh(const LinkResult& link, const Measurement& measurement, double offset_db,
              const std::vector<double>& nearby_dbm, const LinkSettings& settings);

/// Spread of a comparison of one measured with one predicted level, dB.
double comparison_sigma_db(const LinkResult& link, const LinkSettings& settings);

}  // namespace sim
