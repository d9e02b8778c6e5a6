// The normal distribution's quantile.
#pragma once

namespace sim {

/// x for which a standard normal value falls below x with `probability` in (0, 1); infinite at the
/// ends.
///
/// Source:   definition, through std::erfc
/// Valid:    0 < probability < 1
/// Differs:  by halving to the last digit, not by a rational approximation
double normal_quantile(double probability) noexcept;

}  // namespace sim
