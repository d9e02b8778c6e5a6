// How well predictions meet what was measured.
#pragma once

#include <vector>

#include "sim/survey/bootstrap.h"

namespace sim {

struct Pair {
  double predicted = 0.0, measured = 0.0;
  double residual = 0.0;  ///< measured less predicted
};

struct Agreement {
  std::size_t count = 0;
  double bias = 0.0;  ///< median of the residuals; NaN without pairs
  ConfidenceInterval of_bias;
  double spread = 0.0;       ///< interquartile range / 1.349: a standard deviation
  double correlation = 0.0;  ///< Pearson's; NaN below least_correlated pairs or without spread
  ConfidenceInterval of_correlation;
};

inline constexpr std::size_t least_correlated = 4;  // Fisher's z has a variance of 1 / (n - 3)

/// The pairs are taken as independent.
Agreement agreement_of(const std::vector<Pair>& pairs, const BootstrapSettings& settings);

/// Source: R. A. Fisher, Metron 1 (1921) 3-32: z = atanh r is normal with variance 1 / (n - 3);
/// from memory.
ConfidenceInterval correlation_interval(double correlation, std::size_t count, double confidence);

}  // namespace sim
