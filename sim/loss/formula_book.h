// Every published model by name, for people and scripts that want a single number.
#pragma once

#include <limits>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "sim/base/input_error.h"

namespace sim {

/// What a number must fulfil to make physical sense at all; a model's own range is narrower.
struct KeyBound {
  double least = -std::numeric_limits<double>::infinity();
  double most = std::numeric_limits<double>::infinity();
  bool without_least = false, without_most = false;
  bool whole = false;
};

/// A column of a key's file; 0 in every row where an optional one is absent.
struct KeyColumn {
  std::string name, unit;
  bool optional = false;
};

struct BookKey {
  std::string name;
  std::string unit;
  std::string meaning;
  std::string preset;              ///< value where the key is left out; "" = none
  std::vector<std::string> words;  ///< allowed words; empty for a number
  std::vector<KeyColumn> columns;  ///< of the file that the key names; empty otherwise
  KeyBound bound;
  bool number = true;     ///< a number may stand
  bool optional = false;  ///< may be left out without a preset
};

struct BookField {
  std::string name, unit;
  bool whole = false;
};

/// Rows of a key's file, in the order of its columns.
using BookTable = std::vector<std::vector<double>>;

/// The values of the keys, checked.
class BookInput {
 public:
  double operator()(const std::string& key) const { return numbers.at(key); }
  const std::string& word(const std::string& key) const { return words.at(key); }
  const BookTable& table(const std::string& key) const { return tables.at(key); }
  bool has(const std::string& key) const { return numbers.contains(key) || words.contains(key); }
  bool has_number(const std::string& key) const { return numbers.contains(key); }

  std::map<std::string, double> numbers;
  std::map<std::string, std::string> words;
  std::map<std::string, BookTable> tables;
};

/// Values in the order of the model's answers, not a number where the formula is not defined; why
/// the question is outside the model's range, empty where it is inside; and what a reader of the
/// number should know.
struct BookAnswer {
  std::vector<double> values;
  std::string why;
  std::string note;
  bool in_range() const { return why.empty(); }
};

struct BookModel {
  std::string name;
  std::string description;
  std::string source;
  std::string range;
  std::string example;  ///< keys as one would type them
  std::vector<BookKey> keys;
  std::vector<BookField> answers;
  BookAnswer (*evaluate)(const BookInput& input);
  const BookKey* key(std::string_view key_name) const;
};

/// All models, family by family.
const std::vector<BookModel>& formula_book();
const BookModel* find_model(std::string_view name);

/// Checks the keys of a model, given as text, and answers. `tables` holds the rows of the keys that
/// name a file. Throws InputError for a key that is missing, unknown, not finite or not physical.
BookAnswer ask(const BookModel& model, const std::map<std::string, std::string>& texts,
               const std::map<std::string, BookTable>& tables = {});

}  // namespace sim
