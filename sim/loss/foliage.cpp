#include "sim/loss/foliage.h"

#include <algorithm>

namespace sim {

Db weissberger_loss(Frequency f, double depth_m) noexcept {
  if (!(depth_m > 0.0)) return Db(0.0);
  const double factor = std::pow(f.ghz(), 0.284);
  return Db(depth_m <= 14.0 ? 0.45 * factor * depth_m : 1.33 * factor * std::pow(depth_m, 0.588));
}

Db early_itu_foliage_loss(Frequency f, double depth_m) noexcept {
  return Db(0.2 * std::pow(f.mhz(), 0.3) * std::pow(depth_m, 0.6));
}

Db fitu_r_foliage_loss(Frequency f, double depth_m, bool in_leaf) noexcept {
  return in_leaf ? Db(0.39 * std::pow(f.mhz(), 0.39) * std::pow(depth_m, 0.25))
                 : Db(0.37 * std::pow(f.mhz(), 0.18) * std::pow(depth_m, 0.59));
}

Db cost_235_foliage_loss(Frequency f, double depth_m, bool in_leaf) noexcept {
  return in_leaf ? Db(15.6 * std::pow(f.mhz(), -0.009) * std::pow(depth_m, 0.26))
                 : Db(26.6 * std::pow(f.mhz(), -0.2) * std::pow(depth_m, 0.5));
}

FoliageBand foliage_band(Frequency f, double depth_m) noexcept {
  const auto [least, most] =
      std::minmax({weissberger_loss(f, depth_m), early_itu_foliage_loss(f, depth_m),
                   fitu_r_foliage_loss(f, depth_m, true), cost_235_foliage_loss(f, depth_m, true)});
  return {.least = least, .most = most};
}

FoliageEstimate foliage_estimate(Frequency f, double depth_m, double low_db_per_m) noexcept {
  constexpr double steep_m = 14.0;  // where Weissberger's form changes
  Db middle = weissberger_loss(f, depth_m);
  if (depth_m > steep_m) middle = std::max(middle, weissberger_loss(f, steep_m));
  return {.low = std::min(Db(low_db_per_m * std::max(depth_m, 0.0)), middle),
          .middle = middle,
          .high = depth_m > 0.0 ? early_itu_foliage_loss(f, depth_m) : Db(0.0)};
}

Db loss_past_foliage(Db through, double round_share) noexcept {
  const double passed = std::pow(10.0, -through.value / 10.0);
  return Db(
      std::max(0.0, -10.0 * std::log10(passed + (1.0 - passed) * std::min(round_share, 1.0))));
}

Db saturating_foliage_loss(double gamma_db_per_m, Db most, double depth_m) noexcept {
  return Db(-most.value * std::expm1(-depth_m * gamma_db_per_m / most.value));
}

double foliage_specific_attenuation_db_per_m(Frequency f) noexcept {
  return 0.19 * std::pow(f.ghz(), 1.02);
}

Db slant_foliage_loss(Frequency f, double depth_m, Angle elevation) noexcept {
  return Db(0.25 * std::pow(f.mhz(), 0.39) * std::pow(depth_m, 0.25) *
            std::pow(elevation.degrees(), 0.05));
}

Db dual_slope_foliage_loss(Frequency f, double depth_m, double area_m2, bool in_leaf) noexcept {
  struct Fit {
    double a, b, c, k_0, r_f, a_0;
  };
  constexpr Fit leaves{0.2, 1.27, 0.63, 6.57, 0.0002, 10.0};
  constexpr Fit bare{0.16, 2.59, 0.85, 12.6, 2.1, 10.0};
  const Fit& fit = in_leaf ? leaves : bare;
  const double first = fit.a * f.ghz();
  const double last = fit.b / std::pow(f.ghz(), fit.c);
  // expm1 keeps small areas and low frequencies from cancelling.
  const double k = fit.k_0 - 10.0 * std::log10(fit.a_0 * std::expm1(-area_m2 / fit.a_0) *
                                               std::expm1(-fit.r_f * f.ghz()));
  return Db(last * depth_m - k * std::expm1(-(first - last) * depth_m / k));
}

}  // namespace sim
