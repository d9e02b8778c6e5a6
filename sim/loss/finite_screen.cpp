#include "sim/loss/finite_screen.h"

#include <algorithm>

#include "sim/loss/knife_edge.h"

namespace sim {

FiniteScreenLoss finite_screen_loss(Frequency f, double d1_m, double d2_m, double top_m,
                                    double left_m, double right_m) noexcept {
  double field = 0.0, power = 0.0;
  for (const double offset : {top_m, left_m, right_m}) {
    const Db edge = knife_edge_loss(fresnel_parameter(f, d1_m, d2_m, offset));
    const double share = std::pow(10.0, -edge.value / 20.0);
    field += share;
    power += share * share;
  }
  return {.minimum = Db(std::max(0.0, -20.0 * std::log10(field))),
          .mean = Db(std::max(0.0, -10.0 * std::log10(power)))};
}

}  // namespace sim
