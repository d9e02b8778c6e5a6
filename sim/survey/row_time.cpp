#include "sim/survey/row_time.h"

namespace sim {

std::string time_cell(const SurveyCells& cells, const SurveyColumns& columns, std::size_t row) {
  const auto cell = [&](const char* name) {
    const auto found = columns.find(name);
    return found == columns.end() ? "" : cells.rows[row][found->second.index];
  };
  const std::string time = cell("time"), date = cell("date");
  if (time.empty() || date.empty() || has_date(time)) return time.empty() ? date : time;
  return date + " " + time;
}

DateOrder date_order(const SurveyCells& cells, const SurveyColumns& columns) {
  std::vector<std::string> texts;
  texts.reserve(cells.rows.size());
  for (std::size_t row = 0; row < cells.rows.size(); ++row) {
    texts.push_back(time_cell(cells, columns, row));
  }
  return date_order(texts);
}

}  // namespace sim
