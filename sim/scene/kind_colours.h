// One colour per kind of thing in the 3D files, linear RGB 0..1.
#pragma once

#include <array>

#include "sim/scene/scene.h"

namespace sim {

constexpr std::array<double, 3> kind_colour(ObstacleKind kind) {
  constexpr std::array<std::array<double, 3>, obstacle_kind_count> colours{{
      {0.62, 0.58, 0.52},  // ground
      {0.75, 0.75, 0.78},  // building
      {0.20, 0.20, 0.25},  // pole
      {0.38, 0.27, 0.18},  // trunk
      {0.00, 0.45, 0.32},  // crown
      {0.10, 0.50, 0.35},  // canopy
      {0.84, 0.37, 0.00},  // vehicle
      {0.55, 0.35, 0.60},  // object
  }};
  return colours[static_cast<std::size_t>(kind)];
}

}  // namespace sim
