#include "sim/survey/written_column.h"

#include <algorithm>
#include <boost/algorithm/string/predicate.hpp>

#include "sim/import/nearest_word.h"
#include "sim/survey/row_time.h"
#include "sim/survey/survey_units.h"

namespace sim {
namespace {

SurveyCells cells_of(const ImportedSite& imported, const SurveySettings& settings) {
  std::vector<Issue> told_already;
  return read_survey_cells(settings, imported.crs, told_already);
}

std::optional<std::size_t> index_of(const SurveyCells& cells, const std::string& name) {
  for (std::size_t i = 0; i < cells.fields.size(); ++i) {
    if (boost::algorithm::iequals(cells.fields[i], name)) return i;
  }
  return std::nullopt;
}

}  // namespace

WrittenColumn written_column(const ImportedSite& imported, const std::string& name) {
  WrittenColumn column;
  for (const SurveySettings& settings : imported.site.surveys) {
    const SurveyCells cells = cells_of(imported, settings);
    const auto index = index_of(cells, name);
    column.found = column.found || index.has_value();
    for (const std::string& field : cells.fields) {
      const auto& known = column.fields;
      if (std::find(known.begin(), known.end(), field) == known.end()) {
        column.fields.push_back(field);
      }
    }
    for (const auto& row : cells.rows) column.cells.push_back(index ? row[*index] : "");
  }
  return column;
}

std::vector<std::string> written_dates(const ImportedSite& imported) {
  constexpr std::size_t date_characters = 10;  // 2026-05-01
  std::vector<std::string> dates;
  for (const SurveySettings& settings : imported.site.surveys) {
    const SurveyCells cells = cells_of(imported, settings);
    const auto columns = survey_columns(cells.fields, settings);
    const DateOrder order = date_order(cells, columns);
    for (std::size_t row = 0; row < cells.rows.size(); ++row) {
      const auto written = written_time(time_cell(cells, columns, row), order);
      dates.push_back(written ? time_text(written->seconds).substr(0, date_characters) : "");
    }
  }
  return dates;
}

std::vector<std::optional<double>> written_lengths_m(const ImportedSite& imported,
                                                     const std::string& name) {
  std::vector<std::optional<double>> lengths;
  WrittenColumn all;
  for (const SurveySettings& settings : imported.site.surveys) {
    const SurveyCells cells = cells_of(imported, settings);
    const auto index = index_of(cells, name);
    all.found = all.found || index.has_value();
    all.fields.insert(all.fields.end(), cells.fields.begin(), cells.fields.end());
    double factor = 1.0;
    if (index) {
      const HeaderWords words = header_words(cells.fields[*index]);
      factor = unit_factor(Quantity::length, words.unit).value_or(1.0);
    }
    for (const auto& row : cells.rows) {
      const CellNumber number =
          index ? number_from_cell(row[*index], Quantity::length, factor) : CellNumber{};
      const bool is_length = number.kind == CellNumber::Kind::value && number.value >= 0.0;
      lengths.push_back(is_length ? std::optional(number.value) : std::nullopt);
    }
  }
  if (!all.found && !imported.site.surveys.empty()) {
    throw InputError(imported.site.surveys.front().where,
                     "no survey has a column '" + name + "'" + suggestion(name, all.fields));
  }
  return lengths;
}

}  // namespace sim
