// What planned positions are called on paper and screen.
#pragma once

#include <string>
#include <vector>

#include "sim/plan/plan.h"

namespace sim {

/// "-84 dBm (-90 to -78); Mbit/s: 310 (120 to 480) down, 20 up": what two readings in three should
/// lie in; "no link (about -104 dBm)" past the edge.
std::string expected_text(const PlannedPosition& p);

/// "sight holds for 2.3 m around; not north-east, where house 4 comes in the way". Empty without
/// sight.
std::string margin_text(const Scene& scene, const PlannedPosition& p, LengthUnits units);

/// "face 212° (south-west)".
std::string facing_text(const PlannedPosition& p);

/// "Mill Lane, north side; 64 m along from n1, 66 m straight".
std::string place_text(const Scene& scene, const PlannedPosition& p, LengthUnits units);

/// "12 positions, a walk of 740 m with 12 m of climb: 12 minutes on foot and 36 of readings".
std::string plan_sentence(const Plan& plan, LengthUnits units);

/// Streets that gave fewer positions than asked for, and why; with the plan's notes, one line each.
std::vector<std::string> gap_sentences(const Scene& scene, const Plan& plan, std::size_t most);

/// Words for a kind: "control: behind an obstacle".
std::string kind_text(PositionKind kind);

}  // namespace sim
