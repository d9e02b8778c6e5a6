#include "sim/loss/peak_rate.h"

namespace sim {

double rate_at_efficiency_mbps(int n_rb, double scs_khz, int layers, double bits_per_element,
                               double overhead) noexcept {
  const double symbols_per_s = 14.0 * scs_khz / 15.0 * 1e3;
  return 1e-6 * layers * bits_per_element * n_rb * 12.0 * symbols_per_s * (1.0 - overhead);
}

double peak_rate_mbps(int n_rb, double scs_khz, int layers, double bits_per_symbol, double scaling,
                      double overhead) noexcept {
  constexpr double r_max = 948.0 / 1024.0;
  return rate_at_efficiency_mbps(n_rb, scs_khz, layers, bits_per_symbol * scaling * r_max,
                                 overhead);
}

}  // namespace sim
