// Words as people write them in headers and cells.
#pragma once

#include <string>

namespace sim {

/// ASCII letters in lower case; other bytes stay.
std::string lower(std::string text);

/// Without blanks, tabs and line ends around it.
std::string trimmed(const std::string& text);

}  // namespace sim
