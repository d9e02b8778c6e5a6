// Everything the page is told, as one JSON document: the types of tools/viewer/src/answers.ts.
#pragma once

#include <string>
#include <vector>

#include "sim/compare/comparison.h"
#include "sim/explain/explanation.h"
#include "sim/fit/fit.h"
#include "sim/import/records.h"
#include "sim/predict/drops.h"
#include "sim/report/answers.h"
#include "sim/survey/survey.h"

namespace sim {

/// What is known of a site. Only the site and its scene must be there.
struct PageAnswers {
  const ImportedSite& imported;
  const Scene& scene;
  const PredictOptions& options;
  Stamp stamp;
  LengthUnits units = LengthUnits::metric;  ///< shown at first
  bool live = false;
  const PredictionGrid* grid = nullptr;
  const std::vector<StreetWalk>* walks = nullptr;
  const StreetVerdicts* streets = nullptr;
  const Survey* survey = nullptr;
  const Explanation* explanation = nullptr;
  const SurveyFit* fit = nullptr;
  std::string not_fitted;  ///< why, where a fit was tried
  const ReceiverAnswers* asked = nullptr;
  const Comparison* comparison = nullptr;
  std::vector<LinkResult> sampled;  ///< besides: links whose terms tell which models were used
};

std::string answers_json(const PageAnswers& answers);

/// Type `EditedAnswers` of tools/viewer/src/live.ts: what of the document follows nodes, things and
/// weather, but for the map, which comes as frames.
std::string edited_answers_json(const PageAnswers& answers);

/// What is said first: as type `Answers["verdicts"]`, and as lines for a terminal.
std::string verdicts_json(const PageAnswers& answers);
std::vector<std::string> verdict_lines(const PageAnswers& answers);

/// Type `Scene`.
std::string scene_json(const Scene& scene, const ImportedSite& imported);

/// Type `Ledger`.
std::string ledger_json(const Scene& scene, const ReceiverRow& row);

/// Contours of p_hold, `edges` of type `Prediction`.
std::string edges_json(const Scene& scene, const PredictionGrid& grid);

/// Type `Text`: what stands in the way of a link.
std::string link_sentence_json(const Scene& scene, const LinkResult& link);

/// Types `Point[]` and `Suspect[]`.
std::string points_json(const Scene& scene, const Explanation& explanation,
                        const PredictOptions& options);
std::string suspects_json(const Scene& scene, const Explanation& explanation);

/// report.html: the built page with the document in it. Throws InputError where the page was not
/// built.
std::string report_page(const std::string& document, const std::string& title);

}  // namespace sim
