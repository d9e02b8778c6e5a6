#include "sim/loss/noise.h"

#include <algorithm>
#include <cmath>

namespace sim {

Dbm thermal_noise(double bandwidth_hz, Db noise_figure) noexcept {
  return Dbm(-174.0 + 10.0 * std::log10(bandwidth_hz)) + noise_figure;
}

int resource_blocks(double bandwidth_mhz) noexcept {
  if (bandwidth_mhz == 50.0) return 32;
  return std::max(1, static_cast<int>(std::floor(0.66 * bandwidth_mhz)));
}

double guard_band_khz(double bandwidth_mhz, int n_rb, double scs_khz) noexcept {
  return (1000.0 * bandwidth_mhz - 12.0 * n_rb * scs_khz) / 2.0 - scs_khz / 2.0;
}

}  // namespace sim
