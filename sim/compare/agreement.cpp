#include "sim/compare/agreement.h"

#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "sim/base/quantile.h"

namespace sim {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

double pearson(const std::vector<Pair>& pairs) {
  const auto n = static_cast<double>(pairs.size());
  double mp = 0.0, mm = 0.0;
  for (const Pair& p : pairs) {
    mp += p.predicted / n;
    mm += p.measured / n;
  }
  double pp = 0.0, mm2 = 0.0, pm = 0.0;
  for (const Pair& p : pairs) {
    pp += (p.predicted - mp) * (p.predicted - mp);
    mm2 += (p.measured - mm) * (p.measured - mm);
    pm += (p.predicted - mp) * (p.measured - mm);
  }
  return pp > 0.0 && mm2 > 0.0 ? pm / std::sqrt(pp * mm2) : nan;
}

}  // namespace

ConfidenceInterval correlation_interval(double correlation, std::size_t count, double confidence) {
  if (count < least_correlated || !(std::abs(correlation) < 1.0)) return {};
  const double z = boost::math::quantile(boost::math::normal(), 0.5 * (1.0 + confidence));
  const double reach = z / std::sqrt(static_cast<double>(count) - 3.0);
  const double middle = std::atanh(correlation);
  return {std::tanh(middle - reach), std::tanh(middle + reach)};
}

Agreement agreement_of(const std::vector<Pair>& pairs, const BootstrapSettings& settings) {
  constexpr double quartiles_per_sigma = 1.349;  // interquartile range of a normal distribution
  std::vector<double> residuals;
  residuals.reserve(pairs.size());
  for (const Pair& p : pairs) residuals.push_back(p.residual);
  Agreement agreement{
      .count = pairs.size(),
      .bias = quantile(residuals, 0.5),
      .of_bias = median_interval(residuals, settings),
      .spread = (quantile(residuals, 0.75) - quantile(residuals, 0.25)) / quartiles_per_sigma,
      .correlation = nan,
      .of_correlation = {}};
  if (pairs.size() < least_correlated) return agreement;
  agreement.correlation = pearson(pairs);
  agreement.of_correlation =
      correlation_interval(agreement.correlation, pairs.size(), settings.share);
  return agreement;
}

}  // namespace sim
