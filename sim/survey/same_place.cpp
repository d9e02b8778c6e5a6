#include "sim/survey/same_place.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace sim {
namespace {

constexpr double cell_m = 10.0;  // of the index; speed only

double apart(Xy a, Xy b) { return std::hypot(a.x - b.x, a.y - b.y); }

class Places {
 public:
  std::vector<SamePlace> take() { return std::move(places_); }

  void add(std::size_t row, const Measurement& m, double reach_m) {
    const std::string name = place_name(m);
    std::size_t home = places_.size();
    if (!name.empty()) {
      for (const std::size_t i : by_name_[name]) {
        SamePlace& place = places_[i];
        if (place.place && m.place && apart(*place.place, *m.place) > named_place_m) continue;
        home = i;
        break;
      }
    } else if (m.place) {
      home = nearby(*m.place, reach_m);
    } else {
      return;
    }
    if (home == places_.size()) {
      places_.push_back({m.place, name, {}});
      if (!name.empty()) {
        by_name_[name].push_back(home);
      } else {
        by_cell_[cell(*m.place)].push_back(home);
      }
    }
    if (!places_[home].place) places_[home].place = m.place;
    places_[home].rows.push_back(row);
  }

 private:
  using Cell = std::pair<long, long>;
  static Cell cell(Xy p) { return {std::lround(p.x / cell_m), std::lround(p.y / cell_m)}; }

  std::size_t nearby(Xy place, double reach_m) const {
    const auto [cx, cy] = cell(place);
    const long span = static_cast<long>(std::ceil(reach_m / cell_m));
    std::size_t home = places_.size();
    for (long x = cx - span; x <= cx + span; ++x) {
      for (long y = cy - span; y <= cy + span; ++y) {
        const auto found = by_cell_.find({x, y});
        if (found == by_cell_.end()) continue;
        for (const std::size_t i : found->second) {
          if (apart(*places_[i].place, place) <= reach_m) home = std::min(home, i);
        }
      }
    }
    return home;
  }

  std::vector<SamePlace> places_;
  std::map<std::string, std::vector<std::size_t>> by_name_;
  std::map<Cell, std::vector<std::size_t>> by_cell_;
};

}  // namespace

std::string place_name(const Measurement& m) {
  if (!m.spot.empty()) return m.spot;
  if (!m.street.empty() && !m.along.empty()) {
    return m.along + " along " + m.street + (m.side.empty() ? "" : ", " + m.side) +
           (m.node.empty() ? "" : ", from " + m.node);
  }
  return m.placed_by == PlacedBy::address ? m.address : "";
}

std::vector<SamePlace> places_of(const std::vector<Measurement>& measurements,
                                 const std::function<double(const Measurement&)>& reach_m) {
  Places places;
  for (std::size_t i = 0; i < measurements.size(); ++i) {
    places.add(i, measurements[i], reach_m(measurements[i]));
  }
  return places.take();
}

std::size_t visits_of(const SamePlace& place, const std::vector<Measurement>& measurements) {
  std::size_t visits = 0;
  for (std::size_t i = 0; i < place.rows.size(); ++i) {
    const bool goes_on =
        i > 0 && place.rows[i] == place.rows[i - 1] + 1 &&
        measurements[place.rows[i]].survey == measurements[place.rows[i - 1]].survey &&
        measurements[place.rows[i]].run == measurements[place.rows[i - 1]].run;
    visits += goes_on ? 0 : 1;
  }
  return visits;
}

}  // namespace sim
