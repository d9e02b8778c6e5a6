// Parts that the page's document is made of. tools/viewer/src/answers.ts says what each field is.
#pragma once

#include <string>
#include <vector>

#include "sim/report/receiver_row.h"
#include "sim/report/summary_parts.h"
#include "sim/view/answers.h"

namespace sim {

Json place_json(ScenePoint p);
Json line_json(const std::vector<ScenePoint>& line);
Json thing_index(ObstacleId obstacle);  ///< -1 = none

/// Type `Text`: a sentence said in either unit.
template <class Say>
Json text_json(const Say& say) {
  return {{"metric", say(LengthUnits::metric)}, {"imperial", say(LengthUnits::imperial)}};
}

/// What stands in the way of a link, in words.
std::string link_sentence(const Scene& scene, const LinkResult& link, LengthUnits units);

/// Without white space; bytes that are no UTF-8 (of a site's own names) become U+FFFD.
std::string text_of(const Json& json);

/// "poles.geojson:poles:12", the path as seen from the site's folder: a report is published, and
/// where its author keeps files is nobody's business.
std::string source_words(const ImportedSite& imported, SourceRef source);

Json scene_view(const Scene& scene, const ImportedSite& imported);
Json edges_view(const Scene& scene, const PredictionGrid& grid);
Json drops_view(const Scene& scene, const StreetVerdicts& streets);
Json runs_view(const Scene& scene, const std::vector<StreetWalk>& walks);
Json prediction_view(const Scene& scene, const PredictionGrid& grid,
                     const std::vector<StreetWalk>& walks, const StreetVerdicts& streets);
Json ledger_view(const Scene& scene, const ReceiverRow& row, const ReceiverCells& cells);
Json points_view(const Scene& scene, const Explanation& explanation, const PredictOptions& options);
Json asked_view(const Scene& scene, const ReceiverAnswers& asked);
Json suspects_view(const Scene& scene, const Explanation& explanation);
Json measured_drops_view(const Scene& scene, const Explanation& explanation);
Json verdicts_view(const PageAnswers& answers);
Json about_view(const PageAnswers& answers);
Json assumptions_view(const Scene& scene);
Json quality_view(const PageAnswers& answers);
Json sources_view(const PageAnswers& answers);
Json fitted_view(const PageAnswers& answers);
Json comparison_view(const Comparison& comparison);
Json attribution_view(const ImportedSite& imported, const Scene& scene);

}  // namespace sim
