#include "sim/loss/entry.h"

#include "sim/loss/normal_quantile.h"

namespace sim {
namespace {

/// Loss of a wall of which `share` is the first material.
Db mixed(double share, Db first, Db second) {
  return Db(5.0 - 10.0 * std::log10(share * std::pow(10.0, -first.value / 10.0) +
                                    (1.0 - share) * std::pow(10.0, -second.value / 10.0)));
}

}  // namespace

EntryLoss vehicle_entry_loss(bool metallised_windows) noexcept {
  return {.loss = Db(metallised_windows ? 20.0 : 9.0), .sigma = Db(5.0)};
}

Db glass_loss(Frequency f) noexcept { return Db(2.0 + 0.2 * f.ghz()); }

Db coated_glass_loss(Frequency f, int release) noexcept {
  return release >= 19 ? Db(25.4 + 0.11 * f.ghz()) : Db(23.0 + 0.3 * f.ghz());
}

Db concrete_loss(Frequency f) noexcept { return Db(5.0 + 4.0 * f.ghz()); }
Db wood_loss(Frequency f) noexcept { return Db(4.85 + 0.12 * f.ghz()); }
Db plywood_loss(Frequency f) noexcept { return Db(1.03 + 0.17 * f.ghz()); }

EntryLoss facade_entry_loss(Frequency f, bool high_loss, int release) noexcept {
  if (high_loss) {
    return {.loss = mixed(0.7, coated_glass_loss(f, release), concrete_loss(f)), .sigma = Db(6.5)};
  }
  return {.loss = mixed(0.3, glass_loss(f), concrete_loss(f)), .sigma = Db(4.4)};
}

EntryLoss plywood_facade_entry_loss(Frequency f) noexcept {
  return {.loss = mixed(0.3, glass_loss(f), plywood_loss(f)), .sigma = Db(4.4)};
}

Db building_entry_loss(Frequency f, bool thermally_efficient, Angle elevation,
                       double probability) noexcept {
  struct Building {
    double r, s, t, u, v, w, x, y, z;
  };
  constexpr Building traditional{12.64, 3.72, 0.96, 9.6, 2.0, 9.1, -3.0, 4.5, -2.0};
  constexpr Building efficient{28.19, -3.00, 8.48, 13.5, 3.8, 27.8, -2.9, 9.4, -2.1};
  const Building& b = thermally_efficient ? efficient : traditional;
  const double log_f = std::log10(f.ghz());
  const double quantile = normal_quantile(probability);
  const double mu1 =
      b.r + b.s * log_f + b.t * log_f * log_f + 0.212 * std::abs(elevation.degrees());
  const double a = mu1 + (b.u + b.v * log_f) * quantile;
  const double rest = b.w + b.x * log_f + (b.y + b.z * log_f) * quantile;
  return Db::from_power_ratio(Db(a).power_ratio() + Db(rest).power_ratio() +
                              Db(-3.0).power_ratio());
}

}  // namespace sim
