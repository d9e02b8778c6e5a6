#include <array>

#include "sim/link/link.h"

namespace sim {

std::string_view to_string(Sight sight) {
  constexpr std::array<std::string_view, 4> words{"none", "los", "olos", "nlos"};
  return words[static_cast<std::size_t>(sight)];
}

std::string_view to_string(LinkState state) {
  constexpr std::array<std::string_view, 3> words{"drop", "marginal", "hold"};
  return words[static_cast<std::size_t>(state)];
}

std::string_view to_string(Cause cause) {
  constexpr std::array<std::string_view, 14> words{
      "none",    "distance", "sector",    "terrain", "building", "foliage", "pole",
      "vehicle", "object",   "enclosure", "body",    "unmapped", "load",    "position"};
  return words[static_cast<std::size_t>(cause)];
}

Cause cause_of(ObstacleKind kind) {
  switch (kind) {
    case ObstacleKind::ground:
      return Cause::terrain;
    case ObstacleKind::building:
      return Cause::building;
    case ObstacleKind::pole:
      return Cause::pole;
    case ObstacleKind::trunk:
    case ObstacleKind::crown:
    case ObstacleKind::canopy:
      return Cause::foliage;
    case ObstacleKind::vehicle:
      return Cause::vehicle;
    case ObstacleKind::object:
      break;
  }
  return Cause::object;
}

}  // namespace sim
