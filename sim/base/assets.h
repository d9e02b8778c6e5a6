// The tables that come with the program.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace sim {

/// Path of a file in assets/: $KERBRAY_ASSETS, else the source tree, else share/kerbray beside the
/// installed program.
std::string asset_path(const std::string& name);

/// Path of a sample site in scenes/, found in the same way ($KERBRAY_SCENES).
std::string scene_path(const std::string& name);

/// One row of assets/defaults.csv.
struct DefaultValue {
  std::string name;  ///< with its unit: "hold_rsrp_dbm"
  double value = 0.0;
  std::string source;
};

/// Every default of the program by name; a site file may override some. Shown in the report.
class Defaults {
 public:
  void set(DefaultValue value) { values_[value.name] = std::move(value); }
  /// Aborts for a name that assets/defaults.csv does not hold: a programmer's mistake.
  double operator()(std::string_view name) const;
  bool has(std::string_view name) const { return values_.contains(name); }
  const std::map<std::string, DefaultValue, std::less<>>& all() const { return values_; }

 private:
  std::map<std::string, DefaultValue, std::less<>> values_;
};

}  // namespace sim
