// Words that people write in a survey.
#pragma once

#include <optional>
#include <string>

#include "sim/base/receiver_context.h"
#include "sim/gis/crs.h"

namespace sim {

struct ContextWord {
  ReceiverContext context = ReceiverContext::outdoor;
  bool in_hand = false;
};
/// "outdoor", "in car", "hand", …; nullopt for a word that is none.
std::optional<ContextWord> context_word(const std::string& word);

/// "yes", "CONNECTED", "NOT_RESTRICTED", …: also the states that Android gives for its 5G link.
std::optional<bool> connected_word(const std::string& word);

/// "L", "Left side" → "left"; "center" → "centre"; "N side" → "north". Any other word as it is.
std::string side_word(const std::string& word);
/// How far east and north the way to a side of "north", "south-west", … goes; nullopt for others.
std::optional<Xy> side_towards(const std::string& side);

}  // namespace sim
