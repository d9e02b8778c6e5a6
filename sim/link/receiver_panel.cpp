#include "sim/link/receiver_panel.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

/// The way the panel looks.
Arrival looks(const Facing& facing, Arrival node) {
  switch (facing.way) {
    case Facing::Way::held:
    case Facing::Way::node:
      break;
    case Facing::Way::away:
      return {.azimuth = node.azimuth + Angle::degrees(180.0), .elevation = -node.elevation};
    case Facing::Way::heading:
      return {.azimuth = facing.heading, .elevation = {}};
  }
  return node;
}

}  // namespace

Angle panel_angle(const Facing& facing, Arrival node, Arrival path) {
  if (facing.way == Facing::Way::held) return Angle::degrees(90.0);
  const Arrival ahead = looks(facing, node);
  const double a = ahead.elevation.radians(), b = path.elevation.radians();
  const double cosine =
      std::cos(a) * std::cos(b) * std::cos((ahead.azimuth - path.azimuth).radians()) +
      std::sin(a) * std::sin(b);
  return Angle::radians(std::acos(std::clamp(cosine, -1.0, 1.0)));
}

Db panel_gain(Angle from_panel, Frequency frequency, const Defaults& defaults) {
  const double gap = frequency.ghz() < 33.0   ? defaults("panel_gap_n257_db")
                     : frequency.ghz() < 55.0 ? defaults("panel_gap_n260_db")
                                              : defaults("panel_gap_n263_db");
  constexpr double most_db = 30.0;  // TR 38.901 Table 7.3-1, A_max
  const double quarters = from_panel.degrees() / 90.0;
  return Db(-std::min(gap * quarters * quarters, most_db));
}

}  // namespace sim
