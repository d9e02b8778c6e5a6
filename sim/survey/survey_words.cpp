#include <array>

#include "sim/survey/survey.h"

namespace sim {

std::string_view to_string(PlacedBy placed_by) {
  constexpr std::array<std::string_view, 4> words{"gps", "along_street", "track", "address"};
  return words[static_cast<std::size_t>(placed_by)];
}

}  // namespace sim
