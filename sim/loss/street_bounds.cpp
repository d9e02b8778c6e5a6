#include "sim/loss/street_bounds.h"

#include <numbers>

namespace sim {

StreetBounds street_bounds(Frequency f, double distance_m, double h_node_m,
                           double h_receiver_m) noexcept {
  const double lambda_m = f.wavelength_m();
  const double heights_m2 = h_node_m * h_receiver_m;
  StreetBounds bounds;
  bounds.breakpoint_m = 4.0 * heights_m2 / lambda_m;
  bounds.breakpoint =
      Db(std::abs(20.0 * std::log10(lambda_m * lambda_m / (8.0 * std::numbers::pi * heights_m2))));
  const double decades = std::log10(distance_m / bounds.breakpoint_m);
  const auto bound = [&](double above_db, double near_slope) {
    return bounds.breakpoint + Db(above_db + (decades <= 0.0 ? near_slope : 40.0) * decades);
  };
  bounds.lower = bound(0.0, 20.0);
  bounds.upper = bound(20.0, 25.0);
  bounds.median = bound(6.0, 20.0);
  return bounds;
}

}  // namespace sim
