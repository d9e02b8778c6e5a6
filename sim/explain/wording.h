// Words that sentences are made of.
#pragma once

#include <string>

#include "sim/explain/explanation.h"

namespace sim {

/// "Tree" for "tree".
std::string upper_first(std::string text);

/// "building way/12"; an id of several words is a name by itself.
std::string name_of(const Scene& scene, ObstacleId id);

/// "12 dB", or "less than 1 dB".
std::string cost_text(double db);

/// "12.5 m", or "12.5 m (41 ft)".
std::string length_text(double metres, LengthUnits units);

/// Of eight: "north-east".
std::string compass_word(Angle azimuth);

}  // namespace sim
