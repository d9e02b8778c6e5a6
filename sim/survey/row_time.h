// When a row was written, from the column or the two columns that tell it.
#pragma once

#include <map>
#include <string>

#include "sim/survey/survey_cells.h"
#include "sim/survey/survey_columns.h"
#include "sim/survey/survey_time.h"

namespace sim {

using SurveyColumns = std::map<std::string, SurveyColumn>;

/// The time with its date, as written; empty where the row has none.
std::string time_cell(const SurveyCells& cells, const SurveyColumns& columns, std::size_t row);

/// Of the dates of all rows, as a day above 12 gives it away.
DateOrder date_order(const SurveyCells& cells, const SurveyColumns& columns);

}  // namespace sim
