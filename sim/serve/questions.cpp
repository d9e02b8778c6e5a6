#include "sim/serve/questions.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "sim/import/nearest_word.h"

namespace sim {
namespace {

using nlohmann::json;

[[noreturn]] void refuse(const std::string& where, const std::string& what) {
  throw InputError({where, "", -1}, what);
}

/// One object of a request: values come out checked, and what is left over is an unknown key.
class Fields {
 public:
  Fields(const json& object, std::string where) : object_(object), where_(std::move(where)) {
    if (!object.is_object()) refuse(where_, "must be an object");
  }

  const json* find(const char* key) {
    known_.emplace_back(key);
    const auto found = object_.find(key);
    return found == object_.end() ? nullptr : &*found;
  }
  const json& at(const char* key) {
    const json* value = find(key);
    if (value == nullptr) refuse(where_, fmt::format("needs '{}'", key));
    return *value;
  }
  std::string text(const char* key) {
    const json& value = at(key);
    if (!value.is_string()) refuse(where_, fmt::format("'{}' must be text", key));
    return value.get<std::string>();
  }
  double number(const char* key) { return number(key, at(key)); }
  std::optional<double> number_or_null(const char* key) {
    const json& value = at(key);
    return value.is_null() ? std::nullopt : std::optional(number(key, value));
  }
  std::size_t index(const char* key) { return index(key, at(key)); }
  std::optional<std::size_t> index_if_any(const char* key) {
    const json* value = find(key);
    return value == nullptr || value->is_null() ? std::nullopt : std::optional(index(key, *value));
  }
  bool yes_or_no(const char* key) {
    const json& value = at(key);
    if (!value.is_boolean()) refuse(where_, fmt::format("'{}' must be true or false", key));
    return value.get<bool>();
  }
  void finish() const {
    for (const auto& [key, value] : object_.items()) {
      if (std::find(known_.begin(), known_.end(), key) == known_.end()) {
        refuse(where_, "unknown key '" + key.substr(0, 40) + "'" + suggestion(key, known_));
      }
    }
  }
  const std::string& where() const { return where_; }

 private:
  double number(const char* key, const json& value) const {
    if (!value.is_number() || !std::isfinite(value.get<double>())) {
      refuse(where_, fmt::format("'{}' must be a finite number", key));
    }
    return value.get<double>();
  }
  std::size_t index(const char* key, const json& value) const {
    const double number = value.is_number() ? value.get<double>() : -1.0;
    constexpr double most = 1e6;
    if (!(number >= 0.0 && number <= most) || number != std::floor(number)) {
      refuse(where_, fmt::format("'{}' must be a whole number from 0", key));
    }
    return static_cast<std::size_t>(number);
  }

  const json& object_;
  std::string where_;
  std::vector<std::string> known_;
};

AddedKind added_kind(Fields& fields) {
  const std::string word = fields.text("what");
  std::vector<std::string> known;
  for (int k = 0; k <= static_cast<int>(AddedKind::pole); ++k) {
    known.emplace_back(to_string(static_cast<AddedKind>(k)));
    if (known.back() == word) return static_cast<AddedKind>(k);
  }
  refuse(fields.where(), "cannot add '" + word.substr(0, 40) + "'" + suggestion(word, known));
}

Edit read_edit(Fields& fields) {
  const std::string word = fields.text("do");
  if (word == "move_node") {
    return MoveNode{
        .node = fields.index("node"), .x_m = fields.number("x_m"), .y_m = fields.number("y_m")};
  }
  if (word == "raise_node") {
    return RaiseNode{.node = fields.index("node"), .height_agl_m = fields.number("height_agl_m")};
  }
  if (word == "turn_sector") {
    return TurnSector{.node = fields.index("node"),
                      .sector = fields.index("sector"),
                      .azimuth_deg = fields.number("azimuth_deg"),
                      .downtilt_deg = fields.number("downtilt_deg")};
  }
  if (word == "add") {
    return AddThing{.what = added_kind(fields),
                    .x_m = fields.number("x_m"),
                    .y_m = fields.number("y_m"),
                    .heading_deg = fields.number("heading_deg"),
                    .height_m = fields.number_or_null("height_m")};
  }
  if (word == "remove") return RemoveThing{fields.text("source")};
  if (word == "unadd") return UnaddThing{fields.index("add")};
  if (word == "leaf_on") return LeafOn{fields.yes_or_no("on")};
  if (word == "rain") return RainRate{fields.number("mm_per_h")};
  const std::vector<std::string> known{"move_node", "raise_node", "turn_sector", "add",
                                       "remove",    "unadd",      "leaf_on",     "rain"};
  refuse(fields.where(), "there is no edit '" + word.substr(0, 40) + "'" + suggestion(word, known));
}

std::vector<Edit> read_edits(Fields& question) {
  const json& list = question.at("edits");
  if (!list.is_array()) refuse(question.where(), "'edits' must be a list");
  if (list.size() > most_edits) {
    refuse(question.where(), fmt::format("has more than {} edits", most_edits));
  }
  std::vector<Edit> edits;
  edits.reserve(list.size());
  for (const json& item : list) {
    Fields fields(item, fmt::format("edits[{}]", edits.size()));
    edits.push_back(read_edit(fields));
    fields.finish();
  }
  return edits;
}

/// Parses a body and hands its one object to `read`.
template <class Read>
auto question_of(std::string_view body, const Read& read) {
  json object;
  try {
    object = json::parse(body);
  } catch (const json::exception& problem) {
    // Of the library's own words only where it is: the rest may hold bytes of the body.
    const auto* at = dynamic_cast<const json::parse_error*>(&problem);
    refuse("request",
           at != nullptr ? fmt::format("is no JSON at byte {}", at->byte) : "is no JSON");
  }
  Fields fields(object, "request");
  auto question = read(fields);
  fields.finish();
  return question;
}

}  // namespace

SiteQuestion read_site_question(std::string_view body) {
  return question_of(body, [](Fields& fields) { return SiteQuestion{read_edits(fields)}; });
}

LinkQuestion read_link_question(std::string_view body) {
  return question_of(body, [](Fields& fields) {
    return LinkQuestion{.edits = read_edits(fields),
                        .x_m = fields.number("x_m"),
                        .y_m = fields.number("y_m"),
                        .height_agl_m = fields.number("height_agl_m"),
                        .node = fields.index_if_any("node"),
                        .sector = fields.index_if_any("sector")};
  });
}

SurveyQuestion read_survey_question(std::string_view body) {
  return question_of(body, [](Fields& fields) {
    return SurveyQuestion{
        .edits = read_edits(fields), .name = fields.text("name"), .text = fields.text("text")};
  });
}

SaveQuestion read_save_question(std::string_view body) {
  return question_of(body, [](Fields& fields) {
    return SaveQuestion{.edits = read_edits(fields), .name = fields.text("name")};
  });
}

}  // namespace sim
