// How the phone was held or housed when a row was measured, as one word.
#pragma once

#include <string>

#include "sim/survey/survey.h"

namespace sim {

/// "outdoor", "in_vehicle", "behind_glass", "hand" or "body".
std::string situation(const Measurement& m);

/// "node", "away", "held", "90" (the middle of an eighth of the compass); empty where the row does
/// not say.
std::string faces(const Measurement& m);

}  // namespace sim
