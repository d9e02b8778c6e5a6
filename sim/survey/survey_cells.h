// A survey file as text cells, whatever its format.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/gis/crs.h"
#include "sim/import/site.h"
#include "sim/survey/survey.h"

namespace sim {

struct SurveyCells {
  std::vector<std::string> fields;
  std::vector<std::vector<std::string>> rows;
  std::vector<SourceRef> sources;
  std::vector<std::optional<Xy>> places;  ///< from a point geometry, in the site CRS
};

/// CSV as it stands; of any other vector file every feature, of a GPX its points. A feature that is
/// no point keeps its row, without a place, and is reported. Throws InputError for a file that
/// cannot be read.
SurveyCells read_survey_cells(const SurveySettings& settings, const Crs& crs,
                              std::vector<Issue>& issues);

}  // namespace sim
