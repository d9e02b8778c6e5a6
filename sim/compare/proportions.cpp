#include "sim/compare/proportions.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

namespace sim {

ConfidenceInterval wilson_interval(double share, double n, double confidence) {
  if (!(n > 0.0) || std::isnan(share)) return {};
  const double z = boost::math::quantile(boost::math::normal(), 0.5 * (1.0 + confidence));
  const double middle = share + z * z / (2.0 * n);
  const double reach = z * std::sqrt(share * (1.0 - share) / n + z * z / (4.0 * n * n));
  const double scale = 1.0 + z * z / n;
  return {std::max(0.0, (middle - reach) / scale), std::min(1.0, (middle + reach) / scale)};
}

ConfidenceInterval share_difference_interval(const std::vector<TwoShares>& strata,
                                             double confidence) {
  if (strata.empty()) return {};
  double difference = 0.0, below = 0.0, above = 0.0;
  for (const TwoShares& s : strata) {
    const ConfidenceInterval a = wilson_interval(s.a, s.a_count, confidence);
    const ConfidenceInterval b = wilson_interval(s.b, s.b_count, confidence);
    const double w = s.weight * s.weight;
    difference += s.weight * (s.a - s.b);
    below += w * ((s.a - a.low) * (s.a - a.low) + (b.high - s.b) * (b.high - s.b));
    above += w * ((a.high - s.a) * (a.high - s.a) + (s.b - b.low) * (s.b - b.low));
  }
  return {difference - std::sqrt(below), difference + std::sqrt(above)};
}

}  // namespace sim
