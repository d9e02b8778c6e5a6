// How the phone is held or housed, and which way it looks.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "sim/base/units.h"

namespace sim {

enum class ReceiverContext { outdoor, in_vehicle, behind_glass, body_blocked };
std::string_view to_string(ReceiverContext context);
/// nullopt for a word that is not a context.
std::optional<ReceiverContext> receiver_context_from(const std::string& word);

/// Which way the phone's panel looks.
struct Facing {
  enum class Way { held, node, away, heading };
  Way way = Way::held;  ///< as people hold it: as well as half of all directions
  Angle heading;        ///< clockwise from true north, level; only for `heading`
};
/// "held", "node", "away" or degrees from true north within +-360; nullopt for anything else.
std::optional<Facing> facing_from(const std::string& text);
std::string to_string(const Facing& facing);

/// A whole outer wall between phone and street, in place of a pane alone.
enum class Facade { none, low_loss, high_loss, traditional, efficient };
std::string_view to_string(Facade facade);
std::optional<Facade> facade_from(const std::string& word);

/// What the contexts are made of in this site.
struct Housing {
  bool metallised_windows = false;  ///< of the vehicle
  bool coated_glass = false;        ///< the pane reflects heat
  double glass_thickness_mm = 0.0;  ///< > 0: one pane as a slab of that thickness
  Facade facade = Facade::none;     ///< behind_glass: the wall around the pane counts too
  double indoor_depth_m = 0.0;      ///< behind a facade
  bool hand_over_panel = false;
};

}  // namespace sim
