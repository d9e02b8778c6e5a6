// The parts of the formula book, one function for each family of models, and what they share.
#pragma once

#include "sim/base/units.h"
#include "sim/loss/formula_book.h"

namespace sim {

std::vector<BookModel> space_models();
std::vector<BookModel> edge_models();
std::vector<BookModel> screen_models();
std::vector<BookModel> terrain_models();
std::vector<BookModel> material_models();
std::vector<BookModel> nature_models();
std::vector<BookModel> street_models();
std::vector<BookModel> entry_models();
std::vector<BookModel> radio_models();

inline constexpr KeyBound any_number{};
inline constexpr KeyBound positive{.least = 0.0, .without_least = true};
inline constexpr KeyBound not_negative{.least = 0.0};
inline constexpr KeyBound whole_positive{.least = 1.0, .whole = true};

BookKey number_key(std::string name, std::string unit, std::string meaning, KeyBound bound,
                   std::string preset = "");
BookKey word_key(std::string name, std::string meaning, std::vector<std::string> words,
                 std::string preset = "");
BookKey table_key(std::string name, std::string meaning, std::vector<KeyColumn> columns);
BookKey frequency_key();

inline Frequency frequency(const BookInput& in) { return Frequency::ghz(in("f_ghz")); }

/// Collects the reasons why a question is outside a model's range.
class OutOfRange {
 public:
  OutOfRange& unless(bool inside, const std::string& reason);
  /// "f_ghz is outside 0.5..100"
  OutOfRange& unless_within(const BookInput& in, const std::string& key, double least, double most);
  std::string why() const { return why_; }

 private:
  std::string why_;
};

}  // namespace sim
