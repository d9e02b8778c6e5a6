#include "sim/plan/planned.h"

namespace sim {

std::string_view to_string(PositionKind kind) {
  switch (kind) {
    case PositionKind::step:
      return "step";
    case PositionKind::beyond:
      return "beyond";
    case PositionKind::pair_clear:
      return "pair_clear";
    case PositionKind::pair_blocked:
      return "pair_blocked";
    case PositionKind::off_side:
      return "off_side";
    case PositionKind::in_car:
      return "in_car";
    case PositionKind::informative:
      return "informative";
    case PositionKind::wanted:
      return "wanted";
  }
  return "";
}

}  // namespace sim
