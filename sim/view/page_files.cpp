#include "sim/view/page_files.h"

#include <cstdlib>
#include <filesystem>
#include <vector>

#include "sim/base/input_error.h"

namespace sim {

std::string page_folder_with(const std::string& name) {
  namespace fs = std::filesystem;
  std::vector<fs::path> folders;
  if (const char* named = std::getenv("KERBRAY_PAGE")) {
    folders.emplace_back(named);
  } else {
    std::error_code ignored;
    const fs::path program = fs::read_symlink("/proc/self/exe", ignored).parent_path();
    folders = {program / "page", program / "../share/kerbray/page"};
  }
  for (const fs::path& folder : folders) {
    if (fs::exists(folder / name)) return folder.string();
  }
  throw InputError({(folders.front() / name).string(), "", -1},
                   "the page is not there; build kerbray with npm at hand (cmake "
                   "-DKERBRAY_VIEWER=ON), or set KERBRAY_PAGE to the folder that holds it");
}

}  // namespace sim
