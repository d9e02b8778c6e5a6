#include "sim/loss/clutter.h"

#include <algorithm>

#include "sim/loss/normal_quantile.h"

namespace sim {
namespace {

double uncapped_db(double log_f, double log_d, double quantile) {
  const double l = -2.0 * std::log10(std::pow(10.0, -5.0 * log_f - 12.5) + std::pow(10.0, -16.5));
  const double s = 32.98 + 23.9 * log_d + 3.0 * log_f;
  const double share_l = std::pow(10.0, -0.2 * l), share_s = std::pow(10.0, -0.2 * s);
  const double sigma = std::sqrt((16.0 * share_l + 36.0 * share_s) / (share_l + share_s));
  return -5.0 * std::log10(share_l + share_s) + sigma * quantile;
}

}  // namespace

Db clutter_loss(Frequency f, double distance_km, double percent) noexcept {
  constexpr double cap_km = 2.0;
  const double log_f = std::log10(f.ghz());
  const double quantile = normal_quantile(percent / 100.0);  // -Q^-1 of the complementary normal
  return Db(std::min(uncapped_db(log_f, std::log10(distance_km), quantile),
                     uncapped_db(log_f, std::log10(cap_km), quantile)));
}

}  // namespace sim
