#include "sim/compare/like_with_like.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>

#include "sim/base/quantile.h"
#include "sim/compare/proportions.h"

namespace sim {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

double median_of(const std::vector<double>& values) { return quantile(values, 0.5); }

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v;
  return sum / static_cast<double>(values.size());
}

/// Sum of squares within strata of one side, and what is left to estimate it from.
struct Within {
  double squares = 0.0, freedom = 0.0;
  void add(const std::vector<double>& values) {
    const double mean = mean_of(values);
    for (const double v : values) squares += (v - mean) * (v - mean);
    freedom += static_cast<double>(values.size()) - 1.0;
  }
  double variance() const { return squares / freedom; }
};

double weight_of(const TwoSamples& s) {
  const auto a = static_cast<double>(s.a.size()), b = static_cast<double>(s.b.size());
  return a * b / (a + b);
}

void normalise(std::vector<TwoSamples>& strata) {
  double sum = 0.0;
  for (TwoSamples& s : strata) sum += s.weight = weight_of(s);
  for (TwoSamples& s : strata) s.weight /= sum;
}

/// The strata that both sides have, and the counts of what has its like and what has none.
std::vector<TwoSamples> shared_strata(const ByLikeness& a, const ByLikeness& b,
                                      double (*middle)(const std::vector<double>&), Difference& d) {
  std::vector<TwoSamples> shared;
  std::vector<double> all_a, all_b;
  for (const auto& [like, values] : a) {
    all_a.insert(all_a.end(), values.begin(), values.end());
    const auto other = b.find(like);
    if (other == b.end()) continue;
    d.a_count += values.size();
    d.b_count += other->second.size();
    shared.push_back({values, other->second});
  }
  for (const auto& [like, values] : b) all_b.insert(all_b.end(), values.begin(), values.end());
  d.a_alone = all_a.size() - d.a_count;
  d.b_alone = all_b.size() - d.b_count;
  d.strata = shared.size();
  d.crude = all_a.empty() || all_b.empty() ? nan : middle(all_a) - middle(all_b);
  d.effect = nan;
  normalise(shared);
  return shared;
}

bool too_few(const Difference& d) {
  return std::min(d.a_count, d.b_count) < least_bootstrap_values;
}

bool by_medians(const std::vector<TwoSamples>& shared, const BootstrapSettings& settings,
                Difference& d) {
  std::vector<TwoSamples> full;
  std::size_t a = 0, b = 0;
  for (const TwoSamples& s : shared) {
    if (std::min(s.a.size(), s.b.size()) < least_bootstrap_values) continue;
    full.push_back(s);
    a += s.a.size();
    b += s.b.size();
  }
  if (full.empty() || 2 * (a + b) < d.a_count + d.b_count) return false;
  normalise(full);
  d.a_alone += d.a_count - a;
  d.b_alone += d.b_count - b;
  d.a_count = a;
  d.b_count = b;
  d.strata = full.size();
  d.effect = 0.0;
  for (const TwoSamples& s : full) {
    d.effect += s.weight * (quantile(s.a, 0.5) - quantile(s.b, 0.5));
  }
  d.interval = weighted_difference_interval(full, settings);
  d.method = "bootstrap";
  return true;
}

void by_means(const std::vector<TwoSamples>& shared, double share, Difference& d) {
  Within a, b;
  double effect = 0.0, per_a = 0.0, per_b = 0.0;
  for (const TwoSamples& s : shared) {
    a.add(s.a);
    b.add(s.b);
    effect += s.weight * (mean_of(s.a) - mean_of(s.b));
    per_a += s.weight * s.weight / static_cast<double>(s.a.size());
    per_b += s.weight * s.weight / static_cast<double>(s.b.size());
  }
  constexpr double least_freedom = 2.0;  // a variance from one difference is none
  if (std::min(a.freedom, b.freedom) < least_freedom) return;
  const double va = per_a * a.variance(), vb = per_b * b.variance();
  d.effect = effect;
  d.method = "student";
  d.interval = {effect, effect};
  if (va + vb == 0.0) return;
  const double freedom = (va + vb) * (va + vb) / (va * va / a.freedom + vb * vb / b.freedom);
  const double t = boost::math::quantile(boost::math::students_t(freedom), 0.5 * (1.0 + share));
  const double reach = t * std::sqrt(va + vb);
  d.interval = {effect - reach, effect + reach};
}

}  // namespace

Difference like_with_like(const ByLikeness& a, const ByLikeness& b,
                          const BootstrapSettings& settings) {
  Difference d;
  const std::vector<TwoSamples> shared = shared_strata(a, b, median_of, d);
  if (too_few(d)) return d;
  if (!by_medians(shared, settings, d)) by_means(shared, settings.share, d);
  return d;
}

Difference shares_like_with_like(const ByLikeness& a, const ByLikeness& b,
                                 const BootstrapSettings& settings) {
  Difference d;
  const std::vector<TwoSamples> shared = shared_strata(a, b, mean_of, d);
  if (too_few(d)) return d;
  std::vector<TwoShares> shares;
  shares.reserve(shared.size());
  d.effect = 0.0;
  for (const TwoSamples& s : shared) {
    shares.push_back({mean_of(s.a), static_cast<double>(s.a.size()), mean_of(s.b),
                      static_cast<double>(s.b.size()), s.weight});
    d.effect += s.weight * (shares.back().a - shares.back().b);
  }
  d.interval = share_difference_interval(shares, settings.share);
  d.method = "score";
  return d;
}

}  // namespace sim
