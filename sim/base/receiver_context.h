// How the phone is held or housed.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace sim {

enum class ReceiverContext { outdoor, in_vehicle, behind_glass, body_blocked };
std::string_view to_string(ReceiverContext context);
/// nullopt for a word that is not a context.
std::optional<ReceiverContext> receiver_context_from(const std::string& word);

}  // namespace sim
