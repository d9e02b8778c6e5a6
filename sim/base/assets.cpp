#include "sim/base/assets.h"

#include <cstdlib>
#include <filesystem>

#include "sim/base/check.h"

namespace sim {

std::string asset_path(const std::string& name) {
  namespace fs = std::filesystem;
  if (const char* given = std::getenv("KERBRAY_ASSETS")) return fs::path(given) / name;
  if (fs::path in_tree = fs::path(KERBRAY_SOURCE_ASSETS) / name; fs::exists(in_tree)) {
    return in_tree;
  }
  std::error_code none;
  return fs::read_symlink("/proc/self/exe", none).parent_path() / "../share/kerbray" / name;
}

double Defaults::operator()(const std::string& name) const {
  const auto found = values_.find(name);
  SIM_CHECK(found != values_.end());
  return found->second.value;
}

}  // namespace sim
