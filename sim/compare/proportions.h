// How well a few trials tell a share, and the difference of two.
#pragma once

#include <vector>

#include "sim/survey/bootstrap.h"

namespace sim {

/// Score interval of a share seen in n trials; n may be a count of independent stretches, and then
/// the share need not be a whole number of them. NaN for n <= 0.
/// Source: E. B. Wilson, JASA 22 (1927) 209-212, from memory.
ConfidenceInterval wilson_interval(double share, double n, double confidence);

struct TwoShares {
  double a = 0.0, a_count = 0.0, b = 0.0, b_count = 0.0;
  double weight = 1.0;
};
/// Of the sum over strata of weight * (a - b), from the score intervals of each share:
///   low = d - sqrt(sum w^2 ((a - a_low)^2 + (b_high - b)^2)), high alike
/// Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10, for one stratum;
/// G. Y. Zou and A. Donner, Statistics in Medicine 27 (2008) 1693-1702, for sums; from memory.
ConfidenceInterval share_difference_interval(const std::vector<TwoShares>& strata,
                                             double confidence);

}  // namespace sim
