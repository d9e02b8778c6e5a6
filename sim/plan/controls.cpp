#include "sim/plan/controls.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/plan/telling.h"

namespace sim {
namespace {

constexpr double car_half_width_m = 0.9;  // assets/objects.csv: 1.8 m
constexpr double lane_m = 2.5;            // what traffic needs past a parked car
constexpr double least_margin_m = 0.3;    // of sight, for a place to be one with it
constexpr std::size_t most_informative = 3;
constexpr double nearest_m = 20.0;  // where a node 8 m up is less than 20 degrees high
constexpr double apart_m = 20.0;    // nearer places share their shadowing, TR 38.901 section 7.5

double distance_of(const PlanGround& ground, const Candidate& c) {
  return horizontal_distance_m(ground.caster.scene().nodes[c.node].position, c.phone);
}

/// Places every few metres of mapped parking, in scene axes.
std::vector<Xy> bays(const Scene& scene, const WalkingMap& map) {
  constexpr double bay_m = 5.0;
  std::vector<Xy> places;
  const auto add = [&](double x, double y) {
    const ScenePoint p = scene.frame.scene_from_map({x, y, 0.0});
    places.push_back({p.x_m, p.y_m});
  };
  for (const ParkingPlace& parking : map.parking) {
    if (parking.line.size() == 1) {
      add(parking.line.front().x, parking.line.front().y);
    }
    for (std::size_t i = 0; i + 1 < parking.line.size(); ++i) {
      const Xy a = parking.line[i], b = parking.line[i + 1];
      const double length = std::hypot(b.x - a.x, b.y - a.y);
      for (double s = 0.5 * bay_m; s < length; s += bay_m) {
        add(a.x + s / length * (b.x - a.x), a.y + s / length * (b.y - a.y));
      }
    }
    for (const MapPolygon& area : parking.polygons) {
      double west = 1e300, east = -1e300, south = 1e300, north = -1e300;
      for (const Xy p : area.shell) {
        west = std::min(west, p.x);
        east = std::max(east, p.x);
        south = std::min(south, p.y);
        north = std::max(north, p.y);
      }
      for (double y = south + 0.5 * bay_m; y < north; y += bay_m) {
        for (double x = west + 0.5 * bay_m; x < east; x += bay_m) add(x, y);
      }
    }
  }
  return places;
}

Candidate seated_at(const PlanGround& ground, Candidate beside, Xy place) {
  const Scene& scene = ground.caster.scene();
  beside.context = ReceiverContext::in_vehicle;
  beside.height_agl_m = scene.conditions.defaults("in_car_height_m");
  beside.stand.ground = {place.x, place.y, scene.ground.height_at(place.x, place.y)};
  beside.phone = beside.stand.ground;
  beside.phone.z_m += beside.height_agl_m;
  beside.sight = in_sight(ground.caster, beside.node, beside.phone);
  return beside;
}

/// Fit for a car: the ground, no house and nothing else that stands there; a lane does not count.
bool car_fits(const PlanGround& ground, Xy place) {
  const Unfit unfit = ground.footways.unfit(place);
  return unfit == Unfit::none || unfit == Unfit::carriageway;
}

/// On mapped parking within reach.
std::vector<Candidate> parked_seats(const PlanGround& ground, NodeIndex node,
                                    const WalkingMap& map) {
  std::vector<Candidate> seats;
  for (const Xy bay : bays(ground.caster.scene(), map)) {
    const auto foot = ground.graph.nearest(bay);
    if (!foot || !car_fits(ground, bay)) continue;
    Candidate beside;
    beside.node = node;
    beside.foot = *foot;
    beside.way = ground.graph.pieces()[foot->piece].way;
    beside.stand.off_m = foot->off_m;
    beside.stand.placed_by = "mapped parking";
    const Candidate seat = seated_at(ground, beside, bay);
    if (distance_of(ground, seat) <= ground.reach_m) seats.push_back(seat);
  }
  return seats;
}

/// At the kerb beside a place to stand, where the carriageway has room past a parked car.
std::vector<Candidate> kerb_seats(const PlanGround& ground, const std::vector<Candidate>& fine) {
  std::vector<Candidate> seats;
  for (const Candidate& c : fine) {
    const WalkerStreet& way = ground.ways[c.way];
    if (!c.sight || way.half_width_m < 2.0 * car_half_width_m + lane_m / 2.0) continue;
    const double share = (way.half_width_m - car_half_width_m - 0.1) / c.stand.off_m;
    const Xy place{c.foot.place.x + share * (c.stand.ground.x_m - c.foot.place.x),
                   c.foot.place.y + share * (c.stand.ground.y_m - c.foot.place.y)};
    if (share > 1.0 || !car_fits(ground, place)) continue;
    seats.push_back(seated_at(ground, c, place));
    seats.back().stand.placed_by = "kerb (to be verified)";
  }
  return seats;
}

}  // namespace

std::vector<Chosen> off_side(const PlanGround& ground, NodeIndex node,
                             const std::vector<Candidate>& fine, std::vector<std::string>& notes) {
  const double edge_db = ground.settings.defaults("sector_edge_db");
  const Candidate* best = nullptr;
  for (const Candidate& c : fine) {
    if (c.node != node || !c.sight || !c.link || -c.link->pattern.value < edge_db) continue;
    if (distance_of(ground, c) < nearest_m) continue;  // under the antenna, not beside it
    if (c.link->rsrp < ground.settings.drop_rsrp) continue;
    if (best == nullptr || c.link->rsrp > best->link->rsrp) best = &c;
  }
  if (best == nullptr) {
    notes.push_back("No place in sight of " + ground.caster.scene().nodes[node].id +
                    " lies off its sectors' side, so there is no control for that.");
    return {};
  }
  return {{.kind = PositionKind::off_side,
           .at = *best,
           .why = fmt::format("in sight, but off the sectors' side: the antenna gives {:.0f} dB "
                              "less here than in its middle",
                              -best->link->pattern.value),
           .note = {}}};
}

std::vector<Chosen> in_car(const PlanGround& ground, NodeIndex node, const WalkingMap& map,
                           const std::vector<Candidate>& fine, std::vector<std::string>& notes) {
  // About a third of the way: near enough to hold through glass, far enough to tell.
  double farthest = 0.0;
  for (const Candidate& c : fine) {
    if (c.sight && c.link && c.link->p_hold >= 0.5) {
      farthest = std::max(farthest, distance_of(ground, c));
    }
  }
  const auto best_of = [&](const std::vector<Candidate>& seats) {
    const Candidate* best = nullptr;
    const auto off = [&](const Candidate& c) {
      return std::abs(distance_of(ground, c) - farthest / 3.0);
    };
    for (const Candidate& seat : seats) {
      if (best != nullptr && off(seat) >= off(*best)) continue;
      if (seat.sight && sight_margin(ground.caster, ground.footprints, node, seat.phone,
                                     seat.height_agl_m, least_margin_m)
                            .at_least) {
        best = &seat;
      }
    }
    return best == nullptr ? std::nullopt : std::optional(*best);
  };
  std::string note =
      "Mapped parking: mind its signs and hours. Engine off, keys out, nobody at the wheel.";
  auto best = best_of(parked_seats(ground, node, map));
  if (!best) {
    best = best_of(kerb_seats(ground, fine));
    note = std::string(map.parking.empty() ? "No parking is mapped here"
                                           : "No mapped parking is in sight") +
           ": take this spot only if you see that parking is legal at this kerb, else the nearest "
           "legal bay. Never in a traffic lane. Engine off, keys out.";
  }
  if (!best) {
    notes.push_back("No mapped parking and no kerb with room for a car lies in sight of " +
                    ground.caster.scene().nodes[node].id + ", so there is no control in a car.");
    return {};
  }
  predict_at(ground, *best);
  return {{.kind = PositionKind::in_car,
           .at = *best,
           .why = "in a parked car; compare with the footway beside it",
           .note = note}};
}

std::vector<Chosen> informative(const PlanGround& ground, const std::vector<Candidate>& fine,
                                const std::vector<Chosen>& taken, const Survey* measured,
                                std::vector<std::string>& notes) {
  std::vector<Candidate> places;
  places.reserve(taken.size() + fine.size());
  for (const Chosen& c : taken) places.push_back(c.at);
  for (const Candidate& c : fine) {
    if (c.sight && c.link && c.link->p_hold >= 0.5) places.push_back(c);
  }
  Telling telling(ground, places, measured);
  for (std::size_t i = 0; i < taken.size(); ++i) telling.take(i);
  std::vector<Chosen> chosen;
  std::vector<ScenePoint> stands;
  stands.reserve(taken.size() + most_informative);
  for (const Chosen& c : taken) stands.push_back(c.at.phone);
  while (chosen.size() < most_informative) {
    std::size_t best = places.size();
    double most = 1e-6;
    for (std::size_t i = taken.size(); i < places.size(); ++i) {
      const bool near = std::any_of(stands.begin(), stands.end(), [&](ScenePoint p) {
        return horizontal_distance_m(p, places[i].phone) < apart_m;
      });
      if (near || telling.gain(i) <= most) continue;
      most = telling.gain(i);
      best = i;
    }
    if (best == places.size()) break;
    const std::string about = telling.take(best);
    if (about.empty()) break;
    stands.push_back(places[best].phone);
    chosen.push_back({.kind = PositionKind::informative,
                      .at = places[best],
                      .why = "tells most about " + about,
                      .note = {}});
  }
  if (chosen.empty()) {
    notes.push_back("No further place would tell more than the planned ones already do.");
  }
  return chosen;
}

}  // namespace sim
