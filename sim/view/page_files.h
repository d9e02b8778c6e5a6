// Where the built page is: beside the program in the build tree, or where it was installed.
#pragma once

#include <string>

namespace sim {

/// Folder that holds report.html and live/: $KERBRAY_PAGE, else page/ beside the program, else
/// ../share/kerbray/page. Throws InputError when none of them has `name`.
std::string page_folder_with(const std::string& name);

}  // namespace sim
