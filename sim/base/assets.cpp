#include "sim/base/assets.h"

#include <cstdlib>
#include <filesystem>

#include "sim/base/check.h"

namespace sim {

namespace {

namespace fs = std::filesystem;

/// Where a folder of ours lies: as the environment says, in the source tree, or installed.
std::string shared_path(const char* variable, const char* source_folder, const char* installed,
                        const std::string& name) {
  if (const char* given = std::getenv(variable)) return (fs::path(given) / name).string();
  if (const fs::path in_tree = fs::path(source_folder) / name; fs::exists(in_tree)) {
    return in_tree.string();
  }
  std::error_code none;
  const fs::path program = fs::read_symlink("/proc/self/exe", none);
  return (program.parent_path() / "../share/kerbray" / installed / name)
      .lexically_normal()
      .string();
}

}  // namespace

std::string asset_path(const std::string& name) {
  return shared_path("KERBRAY_ASSETS", KERBRAY_SOURCE_FOLDER "/assets", "assets", name);
}

std::string scene_path(const std::string& name) {
  return shared_path("KERBRAY_SCENES", KERBRAY_SOURCE_FOLDER "/scenes", "scenes", name);
}

double Defaults::operator()(std::string_view name) const {
  const auto found = values_.find(name);
  SIM_CHECK(found != values_.end());
  return found->second.value;
}

}  // namespace sim
