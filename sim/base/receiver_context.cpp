#include "sim/base/receiver_context.h"

#include <array>

namespace sim {
namespace {
constexpr std::array<std::string_view, 4> words{"outdoor", "in_vehicle", "behind_glass",
                                                "body_blocked"};
}

std::string_view to_string(ReceiverContext context) {
  return words[static_cast<std::size_t>(context)];
}

std::optional<ReceiverContext> receiver_context_from(const std::string& word) {
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (words[i] == word) return static_cast<ReceiverContext>(i);
  }
  return std::nullopt;
}

}  // namespace sim
