#include "sim/survey/survey_words.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>

#include "sim/base/words.h"
#include "sim/survey/survey.h"

namespace sim {
namespace {

std::string plain(std::string word) {
  for (char& c : word) {
    c = c == '_' || c == '-' ? ' ' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return word;
}

}  // namespace

std::string_view to_string(PlacedBy placed_by) {
  constexpr std::array<std::string_view, 4> words{"gps", "along_street", "track", "address"};
  return words[static_cast<std::size_t>(placed_by)];
}

std::optional<ContextWord> context_word(const std::string& word) {
  using enum ReceiverContext;
  static const std::map<std::string, ContextWord, std::less<>> words{
      {"outdoor", {outdoor}},
      {"outdoors", {outdoor}},
      {"outside", {outdoor}},
      {"street", {outdoor}},
      {"in vehicle", {in_vehicle}},
      {"in car", {in_vehicle}},
      {"inside car", {in_vehicle}},
      {"car", {in_vehicle}},
      {"vehicle", {in_vehicle}},
      {"in van", {in_vehicle}},
      {"behind glass", {behind_glass}},
      {"indoor", {behind_glass}},
      {"indoors", {behind_glass}},
      {"window", {behind_glass}},
      {"behind window", {behind_glass}},
      {"body blocked", {body_blocked}},
      {"body", {body_blocked}},
      {"human", {body_blocked}},
      {"person", {body_blocked}},
      {"hand", {body_blocked, true}},
      {"in hand", {body_blocked, true}},
      {"hand blocked", {body_blocked, true}}};
  const auto found = words.find(plain(word));
  return found == words.end() ? std::nullopt : std::optional(found->second);
}

std::optional<bool> connected_word(const std::string& word) {
  constexpr std::array<std::string_view, 9> yes{"1", "1.0",       "true", "t", "yes",
                                                "y", "connected", "on",   "up"};
  constexpr std::array<std::string_view, 15> no{"0",
                                                "0.0",
                                                "false",
                                                "f",
                                                "no",
                                                "n",
                                                "off",
                                                "down",
                                                "none",
                                                "restricted",
                                                "lost",
                                                "disconnected",
                                                "not restricted",
                                                "not connected",
                                                "dropped"};
  const std::string text = plain(word);
  if (std::find(yes.begin(), yes.end(), text) != yes.end()) return true;
  if (std::find(no.begin(), no.end(), text) != no.end()) return false;
  return std::nullopt;
}

std::string side_word(const std::string& word) {
  static const std::map<std::string, std::string, std::less<>> words{{"l", "left"},
                                                                     {"r", "right"},
                                                                     {"c", "centre"},
                                                                     {"center", "centre"},
                                                                     {"middle", "centre"},
                                                                     {"n", "north"},
                                                                     {"s", "south"},
                                                                     {"e", "east"},
                                                                     {"w", "west"},
                                                                     {"ne", "north-east"},
                                                                     {"nw", "north-west"},
                                                                     {"se", "south-east"},
                                                                     {"sw", "south-west"},
                                                                     {"northeast", "north-east"},
                                                                     {"northwest", "north-west"},
                                                                     {"southeast", "south-east"},
                                                                     {"southwest", "south-west"}};
  std::string side = lower(trimmed(word));
  for (const std::string_view tail : {" side", "-hand", " hand"}) {
    if (side.ends_with(tail)) side = trimmed(side.substr(0, side.size() - tail.size()));
  }
  const auto found = words.find(side);
  return found == words.end() ? side : found->second;
}

std::optional<Xy> side_towards(const std::string& side) {
  static const std::map<std::string, Xy, std::less<>> ways{
      {"north", {0, 1}},  {"north-east", {1, 1}},   {"east", {1, 0}},  {"south-east", {1, -1}},
      {"south", {0, -1}}, {"south-west", {-1, -1}}, {"west", {-1, 0}}, {"north-west", {-1, 1}}};
  const auto found = ways.find(side);
  return found == ways.end() ? std::nullopt : std::optional(found->second);
}

std::string row_list(const std::vector<std::int64_t>& rows) {
  std::string text;
  for (std::size_t i = 0; i < rows.size();) {
    std::size_t last = i;
    while (last + 1 < rows.size() && rows[last + 1] == rows[last] + 1) ++last;
    text += (text.empty() ? "" : ", ") + std::to_string(rows[i]);
    if (last > i) text += (last == i + 1 ? ", " : "-") + std::to_string(rows[last]);
    i = last + 1;
  }
  return text;
}

}  // namespace sim
