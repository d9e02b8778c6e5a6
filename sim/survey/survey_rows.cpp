#include "sim/survey/survey_rows.h"

#include <algorithm>
#include <filesystem>

#include "sim/survey/survey_units.h"

namespace sim {

SurveyRows::SurveyRows(const SurveySettings& settings, const Crs& crs, Survey& out)
    : settings_(settings),
      out_(out),
      cells_(read_survey_cells(settings, crs, out.issues)),
      columns_(survey_columns(cells_.fields, settings)) {
  for (const auto& [our, column] : columns_) {
    if (!column.unit_assumed) continue;
    tell_of_file("unit_assumed",
                 "column '" + cells_.fields[column.index] + "' names no unit; " +
                     (quantity_of(our) == Quantity::rate ? "Mbps" : "ms") +
                     " was taken where its cells name none either; write it in the header",
                 Severity::defaulted);
  }
}

bool SurveyRows::has_geometry() const {
  return std::any_of(cells_.places.begin(), cells_.places.end(),
                     [](const auto& place) { return place.has_value(); });
}

std::string SurveyRows::all_fields() const {
  std::string all;
  for (const std::string& field : cells_.fields) all += (all.empty() ? "" : ", ") + field;
  return all;
}

std::string SurveyRows::text(std::size_t row, const std::string& column) const {
  const auto found = columns_.find(column);
  return found == columns_.end() ? "" : cells_.rows[row][found->second.index];
}

std::optional<double> SurveyRows::number(std::size_t row, const std::string& column) {
  const auto found = columns_.find(column);
  if (found == columns_.end()) return std::nullopt;
  const std::string& cell = cells_.rows[row][found->second.index];
  const CellNumber number = number_from_cell(cell, quantity_of(column), found->second.factor);
  switch (number.kind) {
    case CellNumber::Kind::value:
      return number.value;
    case CellNumber::Kind::empty:
      break;
    case CellNumber::Kind::no_value:
      set_aside(row, "no_value", column,
                "'" + cell + "' and the like stand where the log knew nothing");
      break;
    case CellNumber::Kind::not_a_number:
      tell(row, "not_a_number",
           column + " is '" + cell +
               (cell.find(',') == std::string::npos
                    ? "', which is no number; it was left out"
                    : "', where the comma may part thousands or decimals; write it with a point, "
                      "or without; it was left out"));
      break;
  }
  return std::nullopt;
}

std::optional<double> SurveyRows::number_within(std::size_t row, const std::string& column,
                                                double least, double most, const std::string& code,
                                                const std::string& why) {
  const auto value = number(row, column);
  if (!value || (*value >= least && *value <= most)) return value;
  set_aside(row, code, column, "'" + text(row, column) + "' cannot be: " + why);
  return std::nullopt;
}

void SurveyRows::tell(std::size_t row, const std::string& code, const std::string& message,
                      Severity severity) {
  out_.issues.push_back({severity, cells_.sources[row], code, message});
}

void SurveyRows::tell_of_file(const std::string& code, const std::string& message,
                              Severity severity) {
  out_.issues.push_back({severity, {settings_.file, "", 0}, code, message});
}

void SurveyRows::set_aside(std::size_t row, const std::string& code, const std::string& what,
                           const std::string& why) {
  SetAside& aside = aside_[{code, what}];
  if (aside.rows.empty()) {
    aside = {.survey = std::filesystem::path(settings_.file).filename(),
             .code = code,
             .what = what,
             .why = why,
             .rows = {}};
  }
  aside.rows.push_back(static_cast<std::int64_t>(row) + 1);
}

void SurveyRows::tell_gathered() {
  for (auto& [key, aside] : aside_) {
    std::sort(aside.rows.begin(), aside.rows.end());
    const std::size_t count = aside.rows.size();
    out_.issues.push_back(
        {Severity::dropped, cells_.sources[static_cast<std::size_t>(aside.rows.front()) - 1],
         aside.code,
         aside.what + " of " + std::to_string(count) + (count == 1 ? " row" : " rows") +
             " was set aside (" + (count == 1 ? "row " : "rows ") + row_list(aside.rows) +
             "): " + aside.why});
    out_.set_aside.push_back(aside);
  }
  aside_.clear();
}

}  // namespace sim
