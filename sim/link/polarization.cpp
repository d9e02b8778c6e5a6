#include "sim/link/polarization.h"

namespace sim {

Angle tilt_of(const std::string& polarization) {
  if (polarization == "horizontal") return Angle::degrees(0.0);
  if (polarization == "slant") return Angle::degrees(45.0);
  return Angle::degrees(90.0);
}

}  // namespace sim
