#include "sim/loss/rsrp_report.h"

#include <algorithm>

namespace sim {
namespace {

int index_within(Dbm level, int least, int most) {
  return static_cast<int>(std::clamp(std::floor(level.value) + 157.0, static_cast<double>(least),
                                     static_cast<double>(most)));
}

}  // namespace

int rsrp_report_index(Dbm level) noexcept { return index_within(level, 0, 126); }

int rsrp_report_index_layer_1(Dbm level) noexcept { return index_within(level, 16, 113); }

}  // namespace sim
