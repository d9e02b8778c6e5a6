#include "sim/loss/normal_quantile.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace sim {

double normal_quantile(double probability) noexcept {
  if (probability > 0.5)
    return -normal_quantile(1.0 - probability);  // keeps the small tail's digits
  if (!(probability > 0.0)) return -std::numeric_limits<double>::infinity();
  double low = -40.0, high = 0.0;
  for (int i = 0; i < 80; ++i) {
    const double middle = 0.5 * (low + high);
    const double below = 0.5 * std::erfc(-middle / std::numbers::sqrt2);
    (below < probability ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace sim
