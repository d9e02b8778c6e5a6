// How well a few repeats tell their median.
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

#include "sim/base/assets.h"

namespace sim {

struct ConfidenceInterval {
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();
};

struct BootstrapSettings {
  int draws = 2000;
  std::uint64_t seed = 1;
  double share = 0.95;  ///< of the interval
};
/// bootstrap_* of assets/defaults.csv.
BootstrapSettings bootstrap_settings(const Defaults& defaults);

/// From the least to the largest of n values lies the median with probability 1 - 2 / 2^n: 95 % are
/// out of reach below six.
inline constexpr std::size_t least_bootstrap_values = 6;

/// Percentile bootstrap of the median: values drawn with replacement, the middle share of their
/// medians. The same values and seed give the same interval. NaN for fewer than
/// least_bootstrap_values. Values are taken as independent; those of one visit are less than that.
/// Source: B. Efron, Annals of Statistics 7 (1979) 1-26, and Efron and Tibshirani, An Introduction
/// to the Bootstrap, 1993, chapter 13; from memory.
ConfidenceInterval median_interval(const std::vector<double>& values,
                                   const BootstrapSettings& settings);

/// The same of two independent samples: of median(a) - median(b), and of median(b) / median(a).
struct TwoMedians {
  ConfidenceInterval difference, ratio;
};
TwoMedians two_median_intervals(const std::vector<double>& a, const std::vector<double>& b,
                                const BootstrapSettings& settings);

/// One kind of thing, measured on two sides.
struct TwoSamples {
  std::vector<double> a, b;
  double weight = 1.0;
};
/// The same of the sum over strata of weight * (median(a) - median(b)): each side of each stratum
/// is drawn from itself. NaN where a side has fewer than least_bootstrap_values.
ConfidenceInterval weighted_difference_interval(const std::vector<TwoSamples>& strata,
                                                const BootstrapSettings& settings);

/// The same of any statistics of `count` things: told which things were drawn (with repeats). A
/// draw that has no answer says NaN; an interval that a tenth of the draws or more have no answer
/// for is NaN.
std::vector<ConfidenceInterval> drawn_intervals(
    std::size_t count,
    const std::function<std::vector<double>(const std::vector<std::size_t>& drawn)>& statistics,
    const BootstrapSettings& settings);

/// Of mean(a) - mean(b) by Student's t with unequal variances. NaN unless both have two values.
/// Source: B. L. Welch, Biometrika 34 (1947) 28-35, from memory.
ConfidenceInterval welch_interval(const std::vector<double>& a, const std::vector<double>& b,
                                  double share);

/// Repeats on each side that show a change of `change` in the mean with probability `power`, in a
/// two-sided test at 1 - share:
///
///     n = 2 (z_(1+share)/2 + z_power)^2 s^2 / change^2, rounded up
///
/// Source: the two-sample normal formula, e.g. J. Cohen, Statistical Power Analysis, 1988; from
/// memory. Differs: normal, so one less than by Student's t.
std::size_t repeats_needed(double spread, double change, double share, double power);

/// Root of the pooled variance of two samples; NaN when neither has two values.
double pooled_spread(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace sim
