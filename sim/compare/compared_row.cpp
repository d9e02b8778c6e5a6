#include "sim/compare/compared_row.h"

namespace sim {

std::string_view column_of(Measure measure) {
  constexpr std::array<std::string_view, measure_count> names{"downlink_mbps", "uplink_mbps",
                                                              "latency_ms", "rsrp_dbm"};
  return names.at(static_cast<std::size_t>(measure));
}

std::string_view to_string(InSight sight) {
  constexpr std::array<std::string_view, 3> names{"in_sight", "out_of_sight", "unknown"};
  return names.at(static_cast<std::size_t>(sight));
}

InSight in_sight(Sight sight) {
  if (sight == Sight::none) return InSight::unknown;
  return sight == Sight::los ? InSight::in : InSight::out;
}

}  // namespace sim
