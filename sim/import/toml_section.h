// One table of the site file: values come out checked, and what is left over is an unknown key.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "sim/base/input_error.h"
#include "sim/import/site.h"

namespace sim {

/// How a value may be refused: inclusive limits of a number.
struct Limits {
  double low, high;
};
inline constexpr Limits any_number{-1e12, 1e12};
inline constexpr Limits positive{1e-6, 1e6};

/// Reads the keys of one TOML table. Each reader leaves its target alone when the key is absent and
/// throws InputError "site.toml: line L, column C: …" for a wrong type, a value outside limits or a
/// word that is not known. finish() throws for keys that no reader asked for.
class TomlSection {
 public:
  struct Hidden;  // the TOML table, only known to the one source that includes toml++
  TomlSection(const Hidden& table, std::string name, std::string file);

  void text(const char* key, std::string& target);
  void word(const char* key, std::string& target, const std::vector<std::string>& known);
  void number(const char* key, double& target, Limits limits = any_number);
  void number(const char* key, std::optional<double>& target, Limits limits = any_number);
  void integer(const char* key, int& target, Limits limits);
  void value_or_field(const char* key, ValueOrField& target, Limits limits);
  void path(const char* key, std::string& target, const std::string& folder, bool required = true);
  void texts(const char* key, std::vector<std::string>& target);
  /// A list of known words, in the order given.
  void words(const char* key, std::vector<std::string>& target,
             const std::vector<std::string>& known);
  void numbers(const char* key, std::vector<double>& target, std::size_t count);
  void pairs(const char* key, std::vector<std::pair<double, double>>& target);
  void texts_by_key(const char* key, std::map<std::string, std::string>& target);
  void numbers_by_key(const char* key, std::map<std::string, double>& target,
                      const std::vector<std::string>& known);
  /// Calls `each` for every table of an array of tables (or the one table).
  void sections(const char* key, const std::function<void(TomlSection&)>& each);
  bool has(const char* key) const;

  void finish() const;
  SourceRef where() const;
  [[noreturn]] void refuse(const char* key, const std::string& what) const;

 private:
  const Hidden* table_;
  std::string name_, file_;
  std::vector<std::string> known_keys_;
};

/// Parses the file and hands its root table to `read`.
void read_toml(const std::string& file, const std::function<void(TomlSection&)>& read);

}  // namespace sim
