// A path of the link by way of mirrors.
#pragma once

#include <complex>
#include <vector>

#include "sim/base/points.h"
#include "sim/scene/scene.h"

namespace sim {

struct Bounce {
  ScenePoint at, normal;
  ObstacleId obstacle = no_obstacle;
  Angle incidence;              ///< from the normal
  std::complex<double> te, tm;  ///< coefficients of the surface, roughness included
};

/// The parts of its loss; `loss` is their sum with those of the sector's wave.
struct ReflectedPath {
  std::vector<Bounce> bounces;               ///< from the node to the receiver
  double length_m = 0.0;                     ///< unfolded
  Angle azimuth, elevation;                  ///< of departure, true north and above the horizon
  Angle arrival_azimuth, arrival_elevation;  ///< of the last bounce seen from the receiver
  Db free_space, gas, obstruction, foliage;
  Db bounce, rain;                   ///< depend on the sector's polarization
  Db pattern;                        ///< of the sector towards the departure, <= 0
  Db loss;                           ///< all but the pattern
  ObstacleId dearest = no_obstacle;  ///< what on the legs costs most, if anything does
};

/// A way by one piece of a rough wall, which sends a little everywhere.
struct ScatteredPath {
  ScenePoint at;
  ObstacleId obstacle = no_obstacle;
  Angle azimuth, elevation;  ///< of departure, true north and above the horizon
  Db loss;                   ///< between isotropic ends
};

}  // namespace sim
