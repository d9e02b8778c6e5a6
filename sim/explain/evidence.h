// What a measured row says about the level there, and how well that fits a predicted level.
#pragma once

#include <optional>

#include "sim/link/link.h"
#include "sim/survey/survey.h"

namespace sim {

/// A level in dBm per resource element: read off, or only bounded.
struct LevelEvidence {
  std::optional<double> level_dbm;  ///< the phone's RSRP
  std::optional<double> at_least_dbm, at_most_dbm;
  bool none() const { return !level_dbm && !at_least_dbm && !at_most_dbm; }
};

/// RSRP as it is; without it, SINR plus noise is a lower bound (interference only lowers SINR), a
/// connection needs the drop threshold, and a lost one lies below it.
LevelEvidence evidence_of(const Measurement& measurement, const LinkSettings& settings);

/// Likelihood (per dB, or a probability for a bound) of the evidence when the true mean level is
/// `mean_dbm`, spread normally by `sigma_db`.
double likelihood(const LevelEvidence& evidence, double mean_dbm, double sigma_db);

}  // namespace sim
