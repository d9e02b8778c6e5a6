#include "sim/explain/reason.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

bool lost(const LinkResult& link, const Measurement& m, double offset_db,
          const LinkSettings& settings) {
  if (m.rsrp_dbm) return *m.rsrp_dbm < settings.hold_rsrp.value;
  if (m.connected) return !*m.connected;
  return link.rsrp.value + offset_db < settings.hold_rsrp.value;
}

}  // namespace

std::vector<Reason> reasons_at(const LinkResult& link, const std::vector<Cost>& costs,
                               const Measurement& m, double offset_db,
                               const LinkSettings& settings) {
  const bool named = !costs.empty() && costs[0].cost.value >= least_named_db;
  if (lost(link, m, offset_db, settings)) {
    if (!named) return {{Cause::distance}};
    double avoidable = 0.0;
    for (const Cost& cost : costs) avoidable += cost.cost.value;
    const double level = std::max(link.rsrp.value + offset_db, m.rsrp_dbm.value_or(-1e9));
    if (level + avoidable < settings.drop_rsrp.value) return {{Cause::distance}};
  } else if (!named) {
    return {{Cause::none}};
  }
  std::vector<Reason> reasons{{costs[0].cause, costs[0].obstacle, 1.0}};
  if (costs.size() < 2 || costs[1].cost.value < least_named_db) return reasons;
  const double apart = (costs[0].cost - costs[1].cost).value;
  const double sigma = std::max(std::hypot(costs[0].spread.value, costs[1].spread.value), 1.0);
  const double second = 0.5 * std::erfc(apart / (sigma * std::sqrt(2.0)));
  reasons[0].share = 1.0 - second;
  reasons.push_back({costs[1].cause, costs[1].obstacle, second});
  return reasons;
}

}  // namespace sim
