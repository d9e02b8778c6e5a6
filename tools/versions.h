#pragma once

#include <string>

namespace kerbray {
/// "kerbray 0.1.0" and the versions of the libraries that decide answers.
std::string version_text();
}  // namespace kerbray
