// The difference of two groups, each thing compared with its like only.
#pragma once

#include <compare>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "sim/compare/compared_row.h"
#include "sim/survey/bootstrap.h"

namespace sim {

/// What must be alike for two values to be compared.
struct Likeness {
  int bin = -1;  ///< of the distance; -1 = not known
  InSight sight = InSight::unknown;
  std::string situation;
  auto operator<=>(const Likeness&) const = default;
};

/// Values of one side by what they are like; one value a stretch.
using ByLikeness = std::map<Likeness, std::vector<double>>;

/// a less b. NaN where nothing can be said.
struct Difference {
  std::size_t a_count = 0, b_count = 0;  ///< stretches that have their like on the other side
  std::size_t a_alone = 0, b_alone = 0;  ///< and those that have none
  std::size_t strata = 0;                ///< kinds of place compared
  double effect = 0.0;
  ConfidenceInterval interval;
  std::string method;  ///< "bootstrap", "student", "score"; empty = too few to say
  double crude = 0.0;  ///< without regard to likeness: what not to go by where distances differ
  bool told() const { return !method.empty(); }
  /// The interval excludes zero.
  bool shown() const { return told() && (interval.low > 0.0 || interval.high < 0.0); }
};

/// Of medians, by the bootstrap, over the strata where both sides have least_bootstrap_values, as
/// long as these hold half of what has its like; else of means over every shared stratum, by
/// Student's t with the variance of each side pooled within its strata. Strata weigh n_a n_b /
/// (n_a + n_b), which is least squares' weight. Too few to say below least_bootstrap_values on a
/// side.
/// Source: weights: two-way analysis of variance without interaction, textbook, from memory; t: B.
/// L. Welch, Biometrika 34 (1947) 28-35, from memory, its variances pooled over strata.
Difference like_with_like(const ByLikeness& a, const ByLikeness& b,
                          const BootstrapSettings& settings);

/// The same of shares (values 0..1), by their score intervals.
Difference shares_like_with_like(const ByLikeness& a, const ByLikeness& b,
                                 const BootstrapSettings& settings);

}  // namespace sim
