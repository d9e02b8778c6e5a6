#include "sim/survey/bootstrap.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <random>

#include "sim/base/quantile.h"

namespace sim {
namespace {

/// Draws with replacement, the same on every machine: the engine is standard, the choice of an
/// index by multiplication is ours.
class Draws {
 public:
  explicit Draws(std::uint64_t seed) : engine_(seed) {}
  double median_of(const std::vector<double>& values) {
    drawn_.resize(values.size());
    for (double& one : drawn_) one = values[index_below(values.size())];
    return middle();
  }
  std::size_t index_below(std::size_t count) { return (engine_() >> 32U) * count >> 32U; }

 private:
  double middle() {
    const std::size_t upper = drawn_.size() / 2;
    const auto at = drawn_.begin() + static_cast<std::ptrdiff_t>(upper);
    std::nth_element(drawn_.begin(), at, drawn_.end());
    if (drawn_.size() % 2 == 1) return *at;
    return 0.5 * (*at + *std::max_element(drawn_.begin(), at));
  }
  std::mt19937_64 engine_;
  std::vector<double> drawn_;
};

ConfidenceInterval middle_share(const std::vector<double>& values, double share) {
  return {quantile(values, 0.5 * (1.0 - share)), quantile(values, 0.5 * (1.0 + share))};
}

struct Moments {
  double mean = 0.0, squares = 0.0;  ///< sum of squared deviations
};
Moments moments(const std::vector<double>& values) {
  Moments m;
  for (const double v : values) m.mean += v / static_cast<double>(values.size());
  for (const double v : values) m.squares += (v - m.mean) * (v - m.mean);
  return m;
}

}  // namespace

BootstrapSettings bootstrap_settings(const Defaults& defaults) {
  return {.draws = static_cast<int>(defaults("bootstrap_draws")),
          .seed = static_cast<std::uint64_t>(defaults("bootstrap_seed")),
          .share = defaults("bootstrap_share")};
}

ConfidenceInterval median_interval(const std::vector<double>& values,
                                   const BootstrapSettings& settings) {
  if (values.size() < least_bootstrap_values) return {};
  Draws draws(settings.seed);
  std::vector<double> medians;
  medians.reserve(static_cast<std::size_t>(settings.draws));
  for (int i = 0; i < settings.draws; ++i) medians.push_back(draws.median_of(values));
  return middle_share(medians, settings.share);
}

TwoMedians two_median_intervals(const std::vector<double>& a, const std::vector<double>& b,
                                const BootstrapSettings& settings) {
  if (std::min(a.size(), b.size()) < least_bootstrap_values) return {};
  Draws draws(settings.seed);
  std::vector<double> differences, ratios;
  for (int i = 0; i < settings.draws; ++i) {
    const double one = draws.median_of(a), other = draws.median_of(b);
    differences.push_back(one - other);
    if (one != 0.0) ratios.push_back(other / one);
  }
  return {middle_share(differences, settings.share), middle_share(ratios, settings.share)};
}

ConfidenceInterval weighted_difference_interval(const std::vector<TwoSamples>& strata,
                                                const BootstrapSettings& settings) {
  for (const TwoSamples& one : strata) {
    if (std::min(one.a.size(), one.b.size()) < least_bootstrap_values) return {};
  }
  if (strata.empty()) return {};
  Draws draws(settings.seed);
  std::vector<double> differences;
  differences.reserve(static_cast<std::size_t>(settings.draws));
  for (int i = 0; i < settings.draws; ++i) {
    double sum = 0.0;
    for (const TwoSamples& one : strata) {
      const double a = draws.median_of(one.a), b = draws.median_of(one.b);
      sum += one.weight * (a - b);
    }
    differences.push_back(sum);
  }
  return middle_share(differences, settings.share);
}

std::vector<ConfidenceInterval> drawn_intervals(
    std::size_t count,
    const std::function<std::vector<double>(const std::vector<std::size_t>&)>& statistics,
    const BootstrapSettings& settings) {
  Draws draws(settings.seed);
  std::vector<std::size_t> drawn(count);
  std::vector<std::vector<double>> answers;
  for (int i = 0; i < settings.draws; ++i) {
    for (std::size_t& one : drawn) one = draws.index_below(count);
    const std::vector<double> values = statistics(drawn);
    answers.resize(values.size());
    for (std::size_t k = 0; k < values.size(); ++k) {
      if (!std::isnan(values[k])) answers[k].push_back(values[k]);
    }
  }
  std::vector<ConfidenceInterval> intervals;
  intervals.reserve(answers.size());
  for (const auto& values : answers) {
    const bool enough = 10 * values.size() > 9 * static_cast<std::size_t>(settings.draws);
    intervals.push_back(enough ? middle_share(values, settings.share) : ConfidenceInterval{});
  }
  return intervals;
}

ConfidenceInterval welch_interval(const std::vector<double>& a, const std::vector<double>& b,
                                  double share) {
  if (a.size() < 2 || b.size() < 2) return {};
  const Moments ma = moments(a), mb = moments(b);
  const auto na = static_cast<double>(a.size()), nb = static_cast<double>(b.size());
  const double va = ma.squares / (na - 1.0) / na, vb = mb.squares / (nb - 1.0) / nb;
  const double difference = ma.mean - mb.mean;
  if (va + vb == 0.0) return {difference, difference};
  const double freedom = (va + vb) * (va + vb) / (va * va / (na - 1.0) + vb * vb / (nb - 1.0));
  const double t = boost::math::quantile(boost::math::students_t(freedom), 0.5 * (1.0 + share));
  const double reach = t * std::sqrt(va + vb);
  return {difference - reach, difference + reach};
}

std::size_t repeats_needed(double spread, double change, double share, double power) {
  const boost::math::normal normal;
  const double z =
      boost::math::quantile(normal, 0.5 * (1.0 + share)) + boost::math::quantile(normal, power);
  const double n = 2.0 * z * z * spread * spread / (change * change);
  constexpr double most = 1e9;  // beyond, only the order matters
  return static_cast<std::size_t>(std::ceil(std::clamp(n, 1.0, most)));
}

double pooled_spread(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() + b.size() < 3) return std::numeric_limits<double>::quiet_NaN();
  const double squares = moments(a).squares + moments(b).squares;
  const double freedom = (a.empty() ? 0.0 : static_cast<double>(a.size()) - 1.0) +
                         (b.empty() ? 0.0 : static_cast<double>(b.size()) - 1.0);
  return std::sqrt(squares / freedom);
}

}  // namespace sim
