#include "sim/survey/repeats.h"

namespace sim {
namespace {

RepeatSpread spread_of(const std::vector<Measurement>& measurements, const SamePlace& place,
                       std::optional<double> Measurement::*what,
                       const BootstrapSettings& bootstrap) {
  std::vector<double> values;
  for (const std::size_t row : place.rows) {
    if (const auto& value = measurements[row].*what) values.push_back(*value);
  }
  return {.count = values.size(),
          .median = quantile(values, 0.5),
          .lower_quartile = quantile(values, 0.25),
          .upper_quartile = quantile(values, 0.75),
          .of_median = median_interval(values, bootstrap)};
}

}  // namespace

std::vector<RepeatSummary> summarise_repeats(const std::vector<Measurement>& measurements,
                                             const BootstrapSettings& bootstrap) {
  std::vector<RepeatSummary> repeats;
  for (const SamePlace& place :
       places_of(measurements, [](const Measurement&) { return same_place_m; })) {
    if (place.rows.size() < 2) continue;
    const auto spread = [&](std::optional<double> Measurement::*what) {
      return spread_of(measurements, place, what, bootstrap);
    };
    repeats.push_back({.place = place.place,
                       .name = place.name,
                       .count = place.rows.size(),
                       .visits = visits_of(place, measurements),
                       .rsrp_dbm = spread(&Measurement::rsrp_dbm),
                       .downlink_mbps = spread(&Measurement::downlink_mbps),
                       .uplink_mbps = spread(&Measurement::uplink_mbps)});
  }
  return repeats;
}

}  // namespace sim
