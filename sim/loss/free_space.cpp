#include "sim/loss/free_space.h"

namespace sim {

Db free_space_loss(Frequency f, double distance_m) noexcept {
  return Db(20.0 * std::log10(4.0 * std::numbers::pi * distance_m / f.wavelength_m()));
}

}  // namespace sim
