#include "sim/loss/corner_loss.h"

namespace sim {

CornerLoss corner_loss(double x1_m, double x2_m, double w1_m, CornerKind kind) noexcept {
  constexpr double corner_m = 30.0, beta = 6.0;
  const double corner_db = kind == CornerKind::urban ? 20.0 : 30.0;
  const double half_width_m = w1_m / 2.0;
  if (x2_m <= half_width_m + 1.0) return {};
  if (x2_m <= half_width_m + 1.0 + corner_m) {
    return {.corner = Db(corner_db / std::log10(1.0 + corner_m) * std::log10(x2_m - half_width_m)),
            .beyond = Db()};
  }
  return {.corner = Db(corner_db),
          .beyond = Db(10.0 * beta * std::log10((x1_m + x2_m) / (x1_m + half_width_m + corner_m)))};
}

}  // namespace sim
