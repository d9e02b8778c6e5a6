// What air and rain cost over a street.
#pragma once

#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// Over `street_m` of level path, by frequency.
struct WeatherLoss {
  static constexpr double street_m = 200.0;  // as far as a street-level link usually reaches
  Frequency frequency;
  Db air;   ///< ITU-R P.676-13 Annex 1
  Db rain;  ///< ITU-R P.838-3, horizontal polarization, which loses the most
  /// Half of the shadowing's sigma in clear sight (TR 38.901 Table 7.4.1-1: 4 dB): less moves no
  /// edge that the spread does not move already. Common practice, no source.
  bool matters() const { return (air + rain).value >= 2.0; }
};

/// One entry for each frequency of the scene, ascending, in the weather of its conditions.
std::vector<WeatherLoss> weather_losses(const Scene& scene);

}  // namespace sim
