#include "sim/survey/repeats.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace sim {

std::vector<RepeatSummary> summarise_repeats(const std::vector<Measurement>& measurements) {
  struct Place {
    Xy place;
    std::vector<const Measurement*> rows;
  };
  std::vector<Place> places;
  std::map<std::pair<int, int>, std::vector<std::size_t>> cells;
  const auto cell = [](Xy p) {
    return std::pair(static_cast<int>(std::floor(p.x / same_place_m)),
                     static_cast<int>(std::floor(p.y / same_place_m)));
  };
  for (const Measurement& m : measurements) {
    if (!m.place) continue;
    const auto [cx, cy] = cell(*m.place);
    std::size_t home = places.size();
    for (int dx = -1; dx <= 1; ++dx) {
      for (int dy = -1; dy <= 1; ++dy) {
        const auto found = cells.find({cx + dx, cy + dy});
        if (found == cells.end()) continue;
        for (const std::size_t i : found->second) {
          if (std::hypot(places[i].place.x - m.place->x, places[i].place.y - m.place->y) <=
              same_place_m) {
            home = std::min(home, i);
          }
        }
      }
    }
    if (home == places.size()) {
      places.push_back({*m.place, {}});
      cells[{cx, cy}].push_back(home);
    }
    places[home].rows.push_back(&m);
  }
  std::vector<RepeatSummary> repeats;
  for (const Place& place : places) {
    if (place.rows.size() < 2) continue;
    std::vector<double> levels, rates;
    for (const Measurement* m : place.rows) {
      if (m->rsrp_dbm) levels.push_back(*m->rsrp_dbm);
      if (m->downlink_mbps) rates.push_back(*m->downlink_mbps);
    }
    repeats.push_back({.place = place.place,
                       .count = place.rows.size(),
                       .median_rsrp_dbm = quantile(levels, 0.5),
                       .spread_rsrp_db = quantile(levels, 0.75) - quantile(levels, 0.25),
                       .median_downlink_mbps = quantile(rates, 0.5),
                       .spread_downlink_mbps = quantile(rates, 0.75) - quantile(rates, 0.25)});
  }
  return repeats;
}

}  // namespace sim
