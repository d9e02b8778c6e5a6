// The live view's answers as JSON: what is computed here, worded by sim/view.
#pragma once

#include <string>

#include "sim/explain/explanation.h"
#include "sim/report/answers.h"
#include "sim/serve/standing_sites.h"

namespace sim {

/// How the site is asked and shown, whatever is edited.
struct LiveSettings {
  PredictOptions options;
  Stamp stamp;
  LengthUnits units = LengthUnits::metric;  ///< shown at first
};

/// `Answers`: everything about a site, its prediction, streets and surveys included.
std::string whole_answer(const StandingSite& site, const LiveSettings& live);

/// `EditedAnswers`: what of it edits change. `grid` is the site's prediction; missing = worked out.
std::string edited_answer(const StandingSite& site, std::shared_ptr<const PredictionGrid> grid,
                          const LiveSettings& live);

/// `Scene`.
std::string scene_answer(const StandingSite& site);

/// `LinkAnswer`; nullptr where there is no link.
std::string link_answer(const StandingSite& site, const ReceiverRow* row);

/// `SurveyAnswer`. Remarks are given as they are to be shown.
std::string survey_answer(const StandingSite& site, const Explanation& explanation,
                          const std::vector<std::string>& remarks, const LiveSettings& live);

/// `edges` of a prediction.
std::string edges_answer(const StandingSite& site, const PredictionGrid& grid);

}  // namespace sim
