#include "sim/survey/held_as.h"

#include <cmath>

namespace sim {

std::string situation(const Measurement& m) {
  if (m.context == ReceiverContext::body_blocked) return m.in_hand ? "hand" : "body";
  return std::string(to_string(m.context));
}

std::string faces(const Measurement& m) {
  if (!m.facing) return "";
  if (m.facing->way != Facing::Way::heading) return to_string(*m.facing);
  const double turned = std::remainder(m.facing->heading.degrees(), 360.0);
  return std::to_string((std::lround(turned / 45.0) * 45 + 360) % 360);
}

}  // namespace sim
