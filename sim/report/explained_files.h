// The explanation of a survey, in the files of the contract.
#pragma once

#include <string>
#include <vector>

#include "sim/explain/explanation.h"
#include "sim/report/answers.h"
#include "sim/survey/measured_drops.h"

namespace sim {

/// explained.csv: one row per survey row, in input order.
void write_explained_csv(const std::string& path, const Scene& scene,
                         const Explanation& explanation);

/// explained.gpkg: layers `explained` and `suspects`, beside buildings, poles, trees, objects and
/// nodes.
void write_explained_gpkg(const std::string& path, const Scene& scene,
                          const Explanation& explanation);

/// What the walks say of themselves: how often the link was lost, and where it was each time.
std::vector<std::string> walk_sentences(const Explanation& explanation);

/// summary.json of an explanation: residuals, causes, drop stretches, repeats, suspects, and what
/// was left out of the survey.
std::string explanation_summary_json(const ImportedSite& imported, const Scene& scene,
                                     const Survey& survey, const std::vector<MeasuredDrop>& drops,
                                     const Explanation& explanation, const PredictOptions& options,
                                     const Stamp& stamp);

}  // namespace sim
