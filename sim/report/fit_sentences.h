// A fit in plain words.
#pragma once

#include <string>
#include <vector>

#include "sim/explain/explanation.h"
#include "sim/fit/fit.h"

namespace sim {

/// "EIRP of n1: 3.2 dB above the site's (90 %: 1.1 to 5.3)".
std::string value_sentence(const FittedValue& fitted, double confidence);

/// What the rows cannot tell, and why: one sentence for each value that is held.
std::vector<std::string> held_sentences(const SurveyFit& fit);

/// Where to measure, and what that would tell.
std::vector<std::string> measure_sentences(const Scene& scene, const SurveyFit& fit,
                                           LengthUnits units);

/// Whether the fit foretells rows that it has not seen better than the site does.
std::string error_sentence(const SurveyFit& fit);

/// What a search for the node's place found; empty without one.
std::vector<std::string> position_sentences(const Scene& scene, const SurveyFit& fit,
                                            LengthUnits units);

/// All of these, in the order in which one would say them.
std::vector<std::string> fit_sentences(const Scene& scene, const SurveyFit& fit, LengthUnits units);

/// Longitude and latitude of a place of the scene, degrees.
Xy degrees_of(const Scene& scene, ScenePoint place);

}  // namespace sim
