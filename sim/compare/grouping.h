// Which group a survey row belongs to.
#pragma once

#include <string>
#include <vector>

#include "sim/import/records.h"
#include "sim/survey/survey.h"

namespace sim {

/// By what things are compared: one of our words, or the name of a column of the surveys.
struct Grouping {
  enum class By {
    site,
    node,
    date,
    run,
    survey,
    context,
    street,
    side,
    place,
    note,
    column
  } by = By::site;
  std::string column;  ///< as written; only for By::column

  /// Never fails: a word that is none of ours is a column.
  static Grouping from(const std::string& word);
  std::string words() const;  ///< "site", "operator"
  /// Predicted places belong to the same groups as rows.
  bool groups_places() const { return by == By::site || by == By::node; }
  /// The same word at two sites means two things.
  bool is_local() const;
};

/// One label per survey row; empty where the row does not say. A row without a node's name has that
/// of `serving` (one per row, may be empty). Throws InputError for a column that no survey has,
/// naming the nearest.
std::vector<std::string> group_labels(const Grouping& grouping, const ImportedSite& imported,
                                      const std::string& site_name, const Survey& survey,
                                      const std::vector<std::string>& serving);

/// Dates before runs before words: "2" before "10", and otherwise as written.
bool label_before(const std::string& a, const std::string& b);

}  // namespace sim
