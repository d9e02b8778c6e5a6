#include "sim/compare/grouping.h"

#include <algorithm>
#include <array>
#include <charconv>

#include "sim/import/nearest_word.h"
#include "sim/survey/held_as.h"
#include "sim/survey/written_column.h"

namespace sim {
namespace {

constexpr std::array<std::string_view, 10> words_of_ours{
    "site", "node", "date", "run", "survey", "context", "street", "side", "place", "note"};

std::optional<double> number_in(const std::string& text) {
  double value = 0.0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (problem != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

std::vector<std::string> column_labels(const Grouping& grouping, const ImportedSite& imported) {
  const WrittenColumn column = written_column(imported, grouping.column);
  if (!column.found && !imported.site.surveys.empty()) {
    std::vector<std::string> known(words_of_ours.begin(), words_of_ours.end());
    for (const std::string& field : column.fields) {
      if (std::find(known.begin(), known.end(), field) == known.end()) known.push_back(field);
    }
    throw InputError(imported.site.surveys.front().where, "--by " + grouping.column +
                                                              ": no survey has such a column" +
                                                              suggestion(grouping.column, known));
  }
  return column.cells;
}

std::string word_of(const Grouping& grouping, const Measurement& m, const std::string& serving) {
  using By = Grouping::By;
  switch (grouping.by) {
    case By::node:
      return serving.empty() ? m.node : serving;
    case By::run:
      return m.run.empty() ? m.survey : m.run;
    case By::survey:
      return m.survey;
    case By::context:
      return situation(m);
    case By::street:
      return m.street;
    case By::side:
      return m.side;
    case By::place:
      return m.spot;
    case By::note:
      return m.note;
    default:
      return "";
  }
}

}  // namespace

Grouping Grouping::from(const std::string& word) {
  const auto found = std::find(words_of_ours.begin(), words_of_ours.end(), word);
  if (found == words_of_ours.end()) return {By::column, word};
  return {static_cast<By>(found - words_of_ours.begin()), ""};
}

std::string Grouping::words() const {
  return by == By::column ? column : std::string(words_of_ours.at(static_cast<std::size_t>(by)));
}

bool Grouping::is_local() const {
  return by != By::site && by != By::date && by != By::context && by != By::note &&
         by != By::column;
}

std::vector<std::string> group_labels(const Grouping& grouping, const ImportedSite& imported,
                                      const std::string& site_name, const Survey& survey,
                                      const std::vector<std::string>& serving) {
  const std::size_t count = survey.measurements.size();
  switch (grouping.by) {
    case Grouping::By::site:
      return std::vector<std::string>(count, site_name);
    case Grouping::By::date:
      return written_dates(imported);
    case Grouping::By::column:
      return column_labels(grouping, imported);
    default:
      break;
  }
  std::vector<std::string> labels;
  labels.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    labels.push_back(word_of(grouping, survey.measurements[i], serving[i]));
  }
  return labels;
}

bool label_before(const std::string& a, const std::string& b) {
  const auto na = number_in(a), nb = number_in(b);
  if (na && nb && *na != *nb) return *na < *nb;
  if (na.has_value() != nb.has_value()) return na.has_value();
  return a < b;
}

}  // namespace sim
