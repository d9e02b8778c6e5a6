#include "sim/import/receiver_keys.h"

#include "sim/import/site_words.h"

namespace sim {
namespace {

/// facing = "held", "node", "away", or degrees with or without quotes.
void read_facing(TomlSection& s, Facing& facing) {
  ValueOrField given;
  s.value_or_field("facing", given, {-360.0, 360.0});
  if (const auto* degrees = std::get_if<double>(&given)) {
    facing = {.way = Facing::Way::heading, .heading = Angle::degrees(*degrees)};
  } else if (const auto* word = std::get_if<std::string>(&given)) {
    const auto known = facing_from(*word);
    if (!known) {
      s.refuse("facing",
               "is '" + *word +
                   "', but must be \"held\", \"node\", \"away\" or degrees from true north within "
                   "+-360");
    }
    facing = *known;
  }
}

void read_housing(TomlSection& s, Housing& housing) {
  std::string windows = "plain", glass = "plain", facade = "none", hand = "clear";
  s.word("vehicle_windows", windows, {"plain", "metallised"});
  s.word("glass", glass, {"plain", "coated"});
  s.word("facade", facade, {"none", "low_loss", "high_loss", "traditional", "efficient"});
  s.word("hand", hand, {"clear", "over_panel"});
  s.number("glass_thickness_mm", housing.glass_thickness_mm, {0.5, 100.0});
  s.number("indoor_depth_m", housing.indoor_depth_m, {0.0, 50.0});
  housing.metallised_windows = windows == "metallised";
  housing.coated_glass = glass == "coated";
  housing.facade = *facade_from(facade);
  housing.hand_over_panel = hand == "over_panel";
  if (housing.facade != Facade::none && (s.has("glass") || s.has("glass_thickness_mm"))) {
    s.refuse("facade",
             "already holds its own panes; leave glass and glass_thickness_mm out, or "
             "leave facade out for the pane alone");
  }
  if (housing.coated_glass && s.has("glass_thickness_mm")) {
    s.refuse("glass_thickness_mm", "is for plain glass; a coated pane costs what its coating does");
  }
  if (s.has("indoor_depth_m") && housing.facade == Facade::none) {
    s.refuse("indoor_depth_m", "needs a facade to be behind; add facade = \"low_loss\" or another");
  }
}

}  // namespace

void read_receiver(TomlSection& s, ReceiverSettings& receiver) {
  s.number("height_agl_m", receiver.height_agl_m, {0.1, 100.0});
  s.number("gain_dbi", receiver.gain_dbi, {-30.0, 60.0});
  s.number("noise_figure_db", receiver.noise_figure_db, {0.0, 40.0});
  std::string context = "outdoor";
  s.word("context", context, context_words());
  receiver.context = *receiver_context_from(context);
  read_facing(s, receiver.facing);
  read_housing(s, receiver.housing);
}

}  // namespace sim
