#include "sim/loss/foliage.h"

namespace sim {

Db weissberger_loss(Frequency f, double depth_m) noexcept {
  if (!(depth_m > 0.0)) return Db(0.0);
  const double factor = std::pow(f.ghz(), 0.284);
  return Db(depth_m <= 14.0 ? 0.45 * factor * depth_m : 1.33 * factor * std::pow(depth_m, 0.588));
}

Db saturating_foliage_loss(double gamma_db_per_m, Db most, double depth_m) noexcept {
  return Db(-most.value * std::expm1(-depth_m * gamma_db_per_m / most.value));
}

}  // namespace sim
