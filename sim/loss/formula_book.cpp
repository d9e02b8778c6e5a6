#include "sim/loss/formula_book.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "sim/loss/formula_book_families.h"

namespace sim {
namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

[[noreturn]] void fail(const BookModel& model, const std::string& message) {
  throw InputError({}, model.name + ": " + message);
}

std::optional<double> parsed(const std::string& text) {
  double value = 0.0;
  const char* begin = text.data() + (text.starts_with('+') ? 1 : 0);
  const char* end = text.data() + text.size();
  const auto [stop, problem] = std::from_chars(begin, end, value);
  if (problem != std::errc{} || stop != end || text.empty()) return std::nullopt;
  return value;
}

std::string bound_text(const KeyBound& bound) {
  std::string text;
  if (std::isfinite(bound.least)) {
    text = fmt::format("{} {:g}", bound.without_least ? "above" : "at least", bound.least);
  }
  if (std::isfinite(bound.most)) {
    text += fmt::format("{}{} {:g}", text.empty() ? "" : " and ",
                        bound.without_most ? "below" : "at most", bound.most);
  }
  return text;
}

void check_number(const BookModel& model, const BookKey& key, double value) {
  const KeyBound& bound = key.bound;
  if (!std::isfinite(value)) fail(model, key.name + " must be a finite number");
  const bool low = bound.without_least ? value <= bound.least : value < bound.least;
  const bool high = bound.without_most ? value >= bound.most : value > bound.most;
  if (low || high) {
    fail(model, fmt::format("{} is {:g}; it must be {}", key.name, value, bound_text(bound)));
  }
  if (bound.whole && value != std::floor(value)) {
    fail(model, fmt::format("{} is {:g}; it must be a whole number", key.name, value));
  }
}

void read_value(const BookModel& model, const BookKey& key, const std::string& text,
                BookInput& input) {
  if (std::find(key.words.begin(), key.words.end(), text) != key.words.end()) {
    input.words[key.name] = text;
    return;
  }
  if (!key.number) {
    fail(model, fmt::format("{} cannot be '{}'; known are: {}", key.name, text, joined(key.words)));
  }
  const auto value = parsed(text);
  if (!value) {
    fail(model, fmt::format("{} is '{}', which is not a number{}", key.name, text,
                            key.words.empty() ? "" : " nor one of: " + joined(key.words)));
  }
  check_number(model, key, *value);
  input.numbers[key.name] = *value;
}

void check_table(const BookModel& model, const BookKey& key, const BookTable& table) {
  for (const auto& row : table) {
    for (const double value : row) {
      if (!std::isfinite(value)) fail(model, key.name + " holds a value that is not finite");
    }
  }
}

}  // namespace

const BookKey* BookModel::key(std::string_view key_name) const {
  for (const BookKey& key : keys) {
    if (key.name == key_name) return &key;
  }
  return nullptr;
}

const std::vector<BookModel>& formula_book() {
  static const std::vector<BookModel> book = [] {
    std::vector<BookModel> all;
    for (auto* family : {space_models, edge_models, screen_models, terrain_models, material_models,
                         nature_models, street_models, entry_models, radio_models}) {
      for (BookModel& model : family()) all.push_back(std::move(model));
    }
    return all;
  }();
  return book;
}

const BookModel* find_model(std::string_view name) {
  for (const BookModel& model : formula_book()) {
    if (model.name == name) return &model;
  }
  return nullptr;
}

BookAnswer ask(const BookModel& model, const std::map<std::string, std::string>& texts,
               const std::map<std::string, BookTable>& tables) {
  for (const auto& [name, text] : texts) {
    if (model.key(name) == nullptr) {
      std::vector<std::string> known;
      for (const BookKey& key : model.keys) known.push_back(key.name);
      fail(model, fmt::format("has no key '{}'; known are: {}", name, joined(known)));
    }
  }
  BookInput input;
  for (const BookKey& key : model.keys) {
    if (!key.columns.empty()) {
      const auto table = tables.find(key.name);
      if (table == tables.end()) fail(model, fmt::format("needs {}=FILE", key.name));
      check_table(model, key, table->second);
      input.tables[key.name] = table->second;
      continue;
    }
    const auto given = texts.find(key.name);
    if (given != texts.end()) {
      read_value(model, key, given->second, input);
    } else if (!key.preset.empty()) {
      read_value(model, key, key.preset, input);
    } else if (!key.optional) {
      fail(model, fmt::format("needs {}= ({}{}{})", key.name, key.meaning,
                              key.unit.empty() ? "" : ", ", key.unit));
    }
  }
  BookAnswer answer = model.evaluate(input);
  for (std::size_t i = 0; i < answer.values.size(); ++i) {
    if (std::isfinite(answer.values[i])) continue;
    answer.values[i] = std::numeric_limits<double>::quiet_NaN();
    if (!answer.why.empty()) answer.why += "; ";
    answer.why += "the formula gives no " + model.answers[i].name + " here";
  }
  return answer;
}

BookKey number_key(std::string name, std::string unit, std::string meaning, KeyBound bound,
                   std::string preset) {
  BookKey key;
  key.name = std::move(name);
  key.unit = std::move(unit);
  key.meaning = std::move(meaning);
  key.preset = std::move(preset);
  key.bound = bound;
  return key;
}

BookKey word_key(std::string name, std::string meaning, std::vector<std::string> words,
                 std::string preset) {
  BookKey key;
  key.name = std::move(name);
  key.meaning = std::move(meaning);
  key.words = std::move(words);
  key.preset = std::move(preset);
  key.number = false;
  return key;
}

BookKey table_key(std::string name, std::string meaning, std::vector<KeyColumn> columns) {
  BookKey key;
  key.name = std::move(name);
  key.meaning = std::move(meaning);
  key.columns = std::move(columns);
  key.number = false;
  return key;
}

BookKey frequency_key() { return number_key("f_ghz", "GHz", "frequency", positive); }

OutOfRange& OutOfRange::unless(bool inside, const std::string& reason) {
  if (!inside) why_ += (why_.empty() ? "" : "; ") + reason;
  return *this;
}

OutOfRange& OutOfRange::unless_within(const BookInput& in, const std::string& key, double least,
                                      double most) {
  const double value = in(key);
  return unless(value >= least && value <= most,
                fmt::format("{} {:g} is outside {:g}..{:g}", key, value, least, most));
}

}  // namespace sim
