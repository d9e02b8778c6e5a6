// The cells of a survey by our column names, and what of them could not be used.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "sim/survey/row_time.h"

namespace sim {

class SurveyRows {
 public:
  /// Reads the file. Throws InputError for what survey_cells and survey_columns refuse.
  SurveyRows(const SurveySettings& settings, const Crs& crs, Survey& out);

  std::size_t size() const { return cells_.rows.size(); }
  bool has(const std::string& column) const { return columns_.contains(column); }
  bool has_geometry() const;
  std::string all_fields() const;  ///< for people
  const SourceRef& source(std::size_t row) const { return cells_.sources[row]; }
  const std::optional<Xy>& geometry(std::size_t row) const { return cells_.places[row]; }

  /// As written; empty without the column.
  std::string text(std::size_t row, const std::string& column) const;
  /// The time with its date, as written.
  std::string time(std::size_t row) const { return time_cell(cells_, columns_, row); }
  DateOrder date_order() const { return sim::date_order(cells_, columns_); }
  /// In our unit; nullopt where there is none, with what a log writes instead set aside.
  std::optional<double> number(std::size_t row, const std::string& column);
  /// The same within what can be; anything else is set aside with the reason.
  std::optional<double> number_within(std::size_t row, const std::string& column, double least,
                                      double most, const std::string& code, const std::string& why);

  void tell(std::size_t row, const std::string& code, const std::string& message,
            Severity severity = Severity::dropped);
  void tell_of_file(const std::string& code, const std::string& message, Severity severity);
  /// Gathered by code and thing, and told once with all rows by tell_gathered().
  void set_aside(std::size_t row, const std::string& code, const std::string& what,
                 const std::string& why);
  void tell_gathered();

 private:
  const SurveySettings& settings_;
  Survey& out_;
  SurveyCells cells_;
  std::map<std::string, SurveyColumn> columns_;
  std::map<std::pair<std::string, std::string>, SetAside> aside_;
};

}  // namespace sim
