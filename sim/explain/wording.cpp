#include "sim/explain/wording.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace sim {

std::string upper_first(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

std::string name_of(const Scene& scene, ObstacleId id) {
  const Obstacle& o = scene.obstacles[id];
  if (o.kind == ObstacleKind::ground) return "the ground";
  return o.id.find(' ') == std::string::npos ? o.what + " " + o.id : o.id;
}

std::string cost_text(double db) {
  constexpr double most_told_db = 60.0;  // deeper than what is measured; common practice, no source
  if (db > most_told_db) return fmt::format("more than {:.0f} dB", most_told_db);
  return db < 0.5 ? "less than 1 dB" : fmt::format("{:.0f} dB", db);
}

std::string length_text(double metres, LengthUnits units) {
  constexpr double foot_m = 0.3048;
  const int decimals = std::abs(metres) < 10.0 ? 1 : 0;
  std::string text = fmt::format("{:.{}f} m", metres, decimals);
  if (units == LengthUnits::imperial) {
    const double feet = metres / foot_m;
    text += fmt::format(" ({:.{}f} ft)", feet, std::abs(feet) < 10.0 ? 1 : 0);
  }
  return text;
}

std::string compass_word(Angle azimuth) {
  constexpr std::array<std::string_view, 8> words{"north", "north-east", "east", "south-east",
                                                  "south", "south-west", "west", "north-west"};
  const int eighth = static_cast<int>(std::lround(azimuth.degrees() / 45.0));
  return std::string(words[static_cast<std::size_t>(((eighth % 8) + 8) % 8)]);
}

}  // namespace sim
