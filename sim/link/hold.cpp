#include "sim/link/hold.h"

#include <cmath>

namespace sim {

Db total_sigma(Db shadowing, Db spread) noexcept {
  return Db(std::hypot(shadowing.value, spread.value));
}

Db shadowing_sigma(Sight sight, const LinkSettings& settings) noexcept {
  return Db(sight == Sight::los ? settings.shadow_sigma_los_db : settings.shadow_sigma_nlos_db);
}

Shadowing shadowing_of(Sight sight, const LinkSettings& settings) {
  return {shadowing_sigma(sight, settings),
          settings.defaults(sight == Sight::los ? "shadow_correlation_los_m"
                                                : "shadow_correlation_nlos_m")};
}

double hold_probability(Db margin, Db sigma) noexcept {
  if (sigma.value <= 0.0) return margin.value >= 0.0 ? 1.0 : 0.0;
  return 0.5 * std::erfc(-margin.value / (sigma.value * std::numbers::sqrt2));
}

double shadow_correlation(double distance_m, double correlation_m) noexcept {
  return std::exp(-std::abs(distance_m) / correlation_m);
}

ShadowDraws::ShadowDraws(std::uint64_t seed, std::uint64_t stream) {
  std::seed_seq both{seed & 0xffffffffU, seed >> 32U, stream & 0xffffffffU, stream >> 32U};
  numbers_.seed(both);
}

std::vector<Db> ShadowDraws::next(std::span<const ShadowPlace> walk) {
  std::vector<Db> strays;
  strays.reserve(walk.size());
  const double model = normal_(numbers_);
  double shadow = 0.0;
  for (const ShadowPlace& place : walk) {
    const double fresh = normal_(numbers_);
    const double rho =
        strays.empty() ? 0.0 : shadow_correlation(place.step_m, place.shadowing.correlation_m);
    shadow = rho * shadow + std::sqrt(1.0 - rho * rho) * fresh;
    strays.push_back(Db(place.shadowing.sigma.value * shadow + place.spread.value * model));
  }
  return strays;
}

std::vector<bool> walk_states(std::span<const Dbm> levels, Dbm keep, Dbm regain) {
  std::vector<bool> states;
  states.reserve(levels.size());
  bool up = false;
  for (const Dbm level : levels) {
    if (std::isnan(level.value)) {
      states.push_back(false);
      continue;
    }
    up = level >= (up ? keep : regain);
    states.push_back(up);
  }
  return states;
}

}  // namespace sim
