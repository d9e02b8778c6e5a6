#include "sim/import/toml_section.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/import/nearest_word.h"

namespace sim {

struct TomlSection::Hidden {
  const toml::table& table;
};

namespace {

std::string at(const toml::source_region& region) {
  return fmt::format("line {}, column {}: ", region.begin.line, region.begin.column);
}

[[noreturn]] void refuse_at(const std::string& file, const toml::source_region& region,
                            const std::string& what) {
  throw InputError({file, "", -1}, at(region) + what);
}

}  // namespace

TomlSection::TomlSection(const Hidden& table, std::string name, std::string file)
    : table_(&table), name_(std::move(name)), file_(std::move(file)) {}

bool TomlSection::has(const char* key) const { return table_->table.contains(key); }

SourceRef TomlSection::where() const {
  return {file_, name_, static_cast<std::int64_t>(table_->table.source().begin.line)};
}

void TomlSection::refuse(const char* key, const std::string& what) const {
  const toml::node* node = table_->table.get(key);
  refuse_at(file_, node == nullptr ? table_->table.source() : node->source(),
            (name_.empty() ? "" : name_ + " ") + std::string(key) + " " + what);
}

namespace {

const toml::node* asked(const toml::table& table, std::vector<std::string>& known,
                        const char* key) {
  known.emplace_back(key);
  return table.get(key);
}

}  // namespace

void TomlSection::text(const char* key, std::string& target) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const auto value = node->value_exact<std::string>();
  if (!value) refuse(key, "must be text in quotes");
  target = *value;
}

void TomlSection::word(const char* key, std::string& target,
                       const std::vector<std::string>& known) {
  if (!has(key)) {
    known_keys_.emplace_back(key);
    return;
  }
  text(key, target);
  for (const std::string& candidate : known) {
    if (candidate == target) return;
  }
  refuse(key, "is \"" + target + "\"" + suggestion(target, known));
}

void TomlSection::texts(const char* key, std::vector<std::string>& target) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const toml::array* array = node->as_array();
  if (array == nullptr) refuse(key, "must be a list of words in quotes");
  target.clear();
  for (const toml::node& item : *array) {
    const auto word = item.value_exact<std::string>();
    if (!word) refuse(key, "must be a list of words in quotes");
    target.push_back(*word);
  }
}

void TomlSection::words(const char* key, std::vector<std::string>& target,
                        const std::vector<std::string>& known) {
  texts(key, target);
  if (!has(key)) return;
  for (const std::string& word : target) {
    if (std::find(known.begin(), known.end(), word) == known.end()) {
      refuse(key, "names \"" + word + "\"" + suggestion(word, known));
    }
  }
}

void TomlSection::number(const char* key, std::optional<double>& target, Limits limits) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const auto value = node->is_number() ? node->value<double>() : std::nullopt;
  if (!value || !std::isfinite(*value))
    refuse(key, "must be a finite number, without quotes or a unit");
  if (*value < limits.low || *value > limits.high) {
    refuse(key, fmt::format("is {:g}, but must lie between {:g} and {:g}", *value, limits.low,
                            limits.high));
  }
  target = *value;
}

void TomlSection::number(const char* key, double& target, Limits limits) {
  std::optional<double> value;
  number(key, value, limits);
  if (value) target = *value;
}

void TomlSection::integer(const char* key, int& target, Limits limits) {
  std::optional<double> value;
  number(key, value, limits);
  if (!value) return;
  if (*value != std::floor(*value)) refuse(key, "must be a whole number");
  target = static_cast<int>(*value);
}

void TomlSection::value_or_field(const char* key, ValueOrField& target, Limits limits) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  if (const auto field = node->value_exact<std::string>()) {
    target = *field;
    return;
  }
  double value = 0.0;
  if (!node->is_number()) refuse(key, "must be a number, or the name of a field in quotes");
  number(key, value, limits);
  target = value;
}

void TomlSection::path(const char* key, std::string& target, const std::string& folder,
                       bool required) {
  if (!has(key)) {
    known_keys_.emplace_back(key);
    if (required) {
      refuse_at(file_, table_->table.source(), name_ + " needs a `" + key + "`");
    }
    return;
  }
  text(key, target);
  const std::filesystem::path given(target);
  const bool virtual_file = target.starts_with("/vsi");
  if (!given.is_absolute() && !virtual_file) {
    target = (std::filesystem::path(folder) / given).lexically_normal().string();
  }
}

void TomlSection::numbers(const char* key, std::vector<double>& target, std::size_t count) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const toml::array* array = node->as_array();
  target.clear();
  if (array != nullptr) {
    for (const toml::node& item : *array) {
      if (const auto value = item.value<double>(); value && std::isfinite(*value)) {
        target.push_back(*value);
      }
    }
  }
  if (array == nullptr || target.size() != count || array->size() != count) {
    refuse(key, fmt::format("must be a list of {} numbers", count));
  }
}

void TomlSection::pairs(const char* key, std::vector<std::pair<double, double>>& target) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const toml::array* array = node->as_array();
  if (array == nullptr) refuse(key, "must be a list of [lon, lat] pairs");
  for (const toml::node& item : *array) {
    const toml::array* pair = item.as_array();
    const auto x = pair != nullptr && pair->size() == 2 ? (*pair)[0].value<double>() : std::nullopt;
    const auto y = pair != nullptr && pair->size() == 2 ? (*pair)[1].value<double>() : std::nullopt;
    if (!x || !y) refuse(key, "must be a list of [lon, lat] pairs");
    target.emplace_back(*x, *y);
  }
}

void TomlSection::texts_by_key(const char* key, std::map<std::string, std::string>& target) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const toml::table* table = node->as_table();
  if (table == nullptr) refuse(key, "must be a table: { ours = \"theirs\" }");
  for (const auto& [name, value] : *table) {
    const auto text = value.value_exact<std::string>();
    if (!text) refuse(key, "." + std::string(name.str()) + " must be text in quotes");
    target[std::string(name.str())] = *text;
  }
}

void TomlSection::numbers_by_key(const char* key, std::map<std::string, double>& target,
                                 const std::vector<std::string>& known) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const toml::table* table = node->as_table();
  if (table == nullptr) refuse(key, "must be a table: { name = number }");
  for (const auto& [name, value] : *table) {
    const std::string word(name.str());
    if (std::find(known.begin(), known.end(), word) == known.end()) {
      refuse_at(file_, value.source(),
                "unknown name '" + word + "' in " + std::string(key) + suggestion(word, known));
    }
    const auto number = value.is_number() ? value.value<double>() : std::nullopt;
    if (!number || !std::isfinite(*number)) refuse(key, "." + word + " must be a finite number");
    target[word] = *number;
  }
}

void TomlSection::sections(const char* key, const std::function<void(TomlSection&)>& each) {
  const toml::node* node = asked(table_->table, known_keys_, key);
  if (node == nullptr) return;
  const auto read = [&](const toml::table& table) {
    const Hidden hidden{table};
    TomlSection section(
        hidden,
        (node->is_array() ? "[[" : "[") + std::string(key) + (node->is_array() ? "]]" : "]"),
        file_);
    each(section);
    section.finish();
  };
  if (const toml::table* table = node->as_table()) {
    read(*table);
    return;
  }
  const toml::array* array = node->as_array();
  if (array == nullptr || !array->is_array_of_tables()) {
    refuse(key, "must be a section, written [" + std::string(key) + "] or [[" + key + "]]");
  }
  for (const toml::node& item : *array) read(*item.as_table());
}

void TomlSection::finish() const {
  for (const auto& [key, value] : table_->table) {
    const std::string name(key.str());
    if (std::find(known_keys_.begin(), known_keys_.end(), name) == known_keys_.end()) {
      refuse_at(file_, key.source(),
                "unknown key '" + name + "'" + (name_.empty() ? "" : " in " + name_) +
                    suggestion(name, known_keys_));
    }
  }
}

void read_toml(const std::string& file, const std::function<void(TomlSection&)>& read) {
  std::ifstream in(file, std::ios::binary);
  if (!in) throw InputError({file, "", -1}, "no such file, or no right to read it");
  std::ostringstream text;
  text << in.rdbuf();
  toml::table root;
  try {
    root = toml::parse(text.str(), file);
  } catch (const toml::parse_error& problem) {
    refuse_at(file, problem.source(), std::string(problem.description()));
  }
  const TomlSection::Hidden hidden{root};
  TomlSection section(hidden, "", file);
  read(section);
  section.finish();
}

}  // namespace sim
