// Order statistics of a few numbers.
#pragma once

#include <vector>

namespace sim {

/// Value below which a share of the values lies, linear between ranks; NaN for none.
double quantile(std::vector<double> values, double share);

}  // namespace sim
