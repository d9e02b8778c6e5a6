// Which places tell most about what a fit could learn: "I can only do eight tests".
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "sim/fit/information_growth.h"
#include "sim/fit/unknowns.h"
#include "sim/plan/street_steps.h"

namespace sim {

/// Expected information of candidates about EIRPs, azimuths, tilts and losses, on top of what a
/// survey tells already: the Jacobian of the fit at the site's values, each row over its spread.
/// Rows that should be lost count as lost: what a phone without a link tells.
class Telling {
 public:
  /// Traces the candidates; those without a link tell nothing. `measured` may be null.
  Telling(const PlanGround& ground, const std::vector<Candidate>& candidates,
          const Survey* measured);

  std::size_t size() const { return slopes_.size(); }
  double gain(std::size_t candidate) const { return growth_->gain(slopes_[candidate]); }
  /// Takes the candidate; what it tells most about: "EIRP of n1 (from +-10 to +-4 dB)". Empty
  /// when it tells nothing new.
  std::string take(std::size_t candidate);

 private:
  std::vector<Unknown> unknowns_;
  std::vector<Eigen::VectorXd> slopes_;
  std::unique_ptr<InformationGrowth> growth_;
};

}  // namespace sim
