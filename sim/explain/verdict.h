// Which explanation fits a measured point best.
#pragma once

#include <span>
#include <vector>

#include "sim/explain/evidence.h"
#include "sim/explain/possible_places.h"

namespace sim {

/// Posterior shares of what may be behind a row; they sum to 1, or all are 0 for a row that says
/// nothing about level or rate.
struct Verdict {
  std::vector<double> as_mapped;  ///< the map is right, by the place the phone was at
  double weaker = 0.0;            ///< something that is not in the map takes more away
  double stronger = 0.0;          ///< something in the map is not there, or another path helps
  double load = 0.0;              ///< the level fits, but others had the rate
};

/// Log of how much likelier the row is under `weaker` than under all others: the evidence without
/// the prior. Within +-10.
double weaker_log_ratio(const Verdict& verdict);

/// Weighs them by Bayes' rule. `offset_db` is by how much the node's levels are off as a whole.
/// Priors and the spread of unmapped losses are common practice, no source.
Verdict weigh(std::span<const PossiblePlace> places, const Measurement& measurement,
              double offset_db, const LinkSettings& settings);

/// Spread of a comparison of one measured with one predicted level, dB: what the phone reads, what
/// the terms do not know of themselves, and shadowing. That of clear streets throughout: the
/// greater one of streets without sight is that of streets without a map, and here the map's
/// obstacles are in the ledger.
double comparison_sigma_db(const LinkResult& link, const LinkSettings& settings);

}  // namespace sim
