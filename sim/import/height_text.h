// Heights as people write them.
#pragma once

#include <optional>
#include <string>

namespace sim {

/// "12", "12.13 m", "12,5", "40'", "40 ft", "39'6\"" in metres; nullopt for anything else. The sign
/// is kept: whether a negative height is wrong is for the caller to say.
std::optional<double> length_from_text(const std::string& text);

}  // namespace sim
