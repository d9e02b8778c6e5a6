#include "sim/base/receiver_context.h"

#include <array>
#include <charconv>
#include <cmath>

namespace sim {
namespace {
constexpr std::array<std::string_view, 4> words{"outdoor", "in_vehicle", "behind_glass",
                                                "body_blocked"};
constexpr std::array<std::string_view, 5> facades{"none", "low_loss", "high_loss", "traditional",
                                                  "efficient"};
}  // namespace

std::string_view to_string(ReceiverContext context) {
  return words[static_cast<std::size_t>(context)];
}

std::optional<ReceiverContext> receiver_context_from(const std::string& word) {
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (words[i] == word) return static_cast<ReceiverContext>(i);
  }
  return std::nullopt;
}

std::optional<Facing> facing_from(const std::string& text) {
  if (text == "held") return Facing{};
  if (text == "node") return Facing{.way = Facing::Way::node, .heading = {}};
  if (text == "away") return Facing{.way = Facing::Way::away, .heading = {}};
  double degrees = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, degrees);
  if (error != std::errc{} || stop != end || !(std::abs(degrees) <= 360.0)) return std::nullopt;
  return Facing{.way = Facing::Way::heading, .heading = Angle::degrees(degrees)};
}

std::string to_string(const Facing& facing) {
  if (facing.way == Facing::Way::held) return "held";
  if (facing.way == Facing::Way::node) return "node";
  if (facing.way == Facing::Way::away) return "away";
  std::array<char, 32> digits{};
  const auto [stop, error] = std::to_chars(digits.data(), digits.data() + digits.size(),
                                           std::round(facing.heading.degrees() * 1e3) / 1e3);
  return {digits.data(), stop};
}

std::string_view to_string(Facade facade) { return facades[static_cast<std::size_t>(facade)]; }

std::optional<Facade> facade_from(const std::string& word) {
  for (std::size_t i = 0; i < facades.size(); ++i) {
    if (facades[i] == word) return static_cast<Facade>(i);
  }
  return std::nullopt;
}

}  // namespace sim
