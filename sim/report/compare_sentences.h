// A comparison in plain words.
#pragma once

#include <string>
#include <vector>

#include "sim/compare/comparison.h"
#include "sim/explain/explanation.h"

namespace sim {

/// "downlink" and "Mbit/s"; of a difference of levels "dB".
std::string words_of(Measure measure);
std::string unit_of(Measure measure);
std::string unit_of_difference(Measure measure);

/// "412 Mbit/s (95 %: 380 to 440; 31 stretches)"
std::string middle_text(Measure measure, const Middle& middle, double share);

/// Each group in one sentence: what it measured, and how far it holds.
std::vector<std::string> group_sentences(const Comparison& comparison, LengthUnits units);

/// What differs and by how much, what does not, and where there is too little to say.
std::vector<std::string> contrast_sentences(const Comparison& comparison);

/// How the predictions stand to what was measured.
std::vector<std::string> agreement_sentences(const Comparison& comparison);

/// "229 m", "229 m (95 %: 204 to 251 m)", "beyond 300 m".
std::string edge_text(const HoldEdge& edge, double share, LengthUnits units);
/// Decimals that a value is worth saying with.
int decimals_for(double value);
/// A label that is a bare number is called by what it counts: "run 63".
std::string called(const Comparison& comparison, const std::string& label);
std::string sight_words(const std::optional<InSight>& sight);
std::string source_words(EdgeOf::Source source);

/// Every sentence, in the order of the page.
std::vector<std::string> verdict_sentences(const Comparison& comparison, LengthUnits units);

}  // namespace sim
