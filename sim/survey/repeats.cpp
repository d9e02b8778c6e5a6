#include "sim/survey/repeats.h"

#include <map>

#include "sim/survey/held_as.h"

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

/// Each place once for every way the phone was held there: inside a car is no repeat of outside.
std::vector<SamePlace> held_alike(const std::vector<Measurement>& measurements) {
  std::vector<SamePlace> alike;
  for (const SamePlace& place :
       places_of(measurements, [](const Measurement&) { return same_place_m; })) {
    std::map<std::string, std::vector<std::size_t>> ways;
    for (const std::size_t row : place.rows) {
      const Measurement& m = measurements[row];
      std::string way = situation(m) == "outdoor" ? "" : ", " + situation(m);
      if (const std::string facing = faces(m); !facing.empty()) way += ", facing " + facing;
      ways[way].push_back(row);
    }
    for (const auto& [way, rows] : ways) {
      const bool bare = place.name.empty() && !way.empty();
      alike.push_back({place.place, bare ? way.substr(2) : place.name + way, rows});
    }
  }
  return alike;
}

}  // namespace

std::vector<RepeatSummary> summarise_repeats(const std::vector<Measurement>& measurements,
                                             const BootstrapSettings& bootstrap) {
  std::vector<RepeatSummary> repeats;
  for (const SamePlace& place : held_alike(measurements)) {
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
