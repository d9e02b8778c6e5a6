// "I can only do eight tests: which eight?"
#pragma once

#include <vector>

#include "sim/plan/step_positions.h"
#include "sim/survey/survey.h"

namespace sim {

/// The `count` most telling of the places: those asked for by name and the halves of pairs first
/// (at most half of all), then one after the other the place that tells most about what is not
/// known yet, each time from the band of distance with the fewest places so far: three thirds of
/// the way to the edge, and beyond it. Each says why.
std::vector<Chosen> choose_few(const PlanGround& ground, std::vector<Chosen> places,
                               std::size_t count, const Survey* measured);

}  // namespace sim
