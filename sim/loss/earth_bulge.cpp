#include "sim/loss/earth_bulge.h"

namespace sim {

double earth_bulge_m(double d1_km, double d2_km, double k, double radius_km) noexcept {
  return 1000.0 * d1_km * d2_km / (2.0 * k * radius_km);
}

}  // namespace sim
