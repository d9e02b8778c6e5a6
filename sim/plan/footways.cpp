#include "sim/plan/footways.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/import/map_geometry.h"
#include "sim/plan/street_pieces.h"

namespace sim {
std::string_view to_string(Unfit unfit) {
  switch (unfit) {
    case Unfit::none:
      return "fit";
    case Unfit::off_ground:
      return "outside the ground raster";
    case Unfit::building:
      return "inside a building";
    case Unfit::carriageway:
      return "on a carriageway";
    case Unfit::avoided:
      return "in water or another place to keep off";
    case Unfit::obstacle:
      return "something stands there already";
    case Unfit::no_room:
      return "no room between kerb and house";
  }
  return "";
}

Footways::Footways(const RayCaster& caster, const std::vector<WalkerStreet>& ways,
                   const WalkingMap& map)
    : caster_(&caster), ways_(&ways), map_(&map), footprints_(caster.scene()) {
  const Defaults& d = caster.scene().conditions.defaults;
  footway_m_ = d("footway_width_m");
  facade_gap_m_ = d("footway_facade_gap_m");
  facade_reach_m_ = d("footway_facade_reach_m");
  least_half_m_ = d("carriageway_least_half_m");
  kerb_gap_m_ = d("footway_kerb_gap_m");
  head_m_ = d("footway_head_room_m");
  half_bay_m_ = d("parking_half_bay_m");
  boxes_.reserve(ways.size());
  for (const WalkerStreet& way : ways) {
    Box box{1e300, 1e300, -1e300, -1e300};
    for (const Xy p : way.line) {
      box = {std::min(box.west, p.x), std::min(box.south, p.y), std::max(box.east, p.x),
             std::max(box.north, p.y)};
    }
    boxes_.push_back(box);
  }
}

double Footways::facade_m(Xy center, Xy normal) const {
  constexpr double look_m = 0.25;
  for (double off = 0.0; off <= facade_reach_m_; off += look_m) {
    if (footprints_.building_at(center.x + off * normal.x, center.y + off * normal.y)) return off;
  }
  return std::numeric_limits<double>::infinity();
}

double Footways::distance_to_way_m(std::size_t way, Xy p) const {
  constexpr double near_m = 40.0;  // beyond half the widest carriageway and its footway
  const std::vector<Xy>& line = (*ways_)[way].line;
  const Box& box = boxes_[way];
  double least = std::numeric_limits<double>::infinity();
  if (p.x < box.west - near_m || p.x > box.east + near_m || p.y < box.south - near_m ||
      p.y > box.north + near_m) {
    return least;
  }
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double t = nearest_share(line[i], line[i + 1], p);
    least = std::min(least, std::hypot(line[i].x + t * (line[i + 1].x - line[i].x) - p.x,
                                       line[i].y + t * (line[i + 1].y - line[i].y) - p.y));
  }
  return least;
}

std::optional<Stand> Footways::beside(std::size_t way, Xy center, Xy heading, bool left,
                                      Unfit& why) const {
  const WalkerStreet& street = (*ways_)[way];
  const Scene& scene = caster_->scene();
  const Xy normal = left ? Xy{-heading.y, heading.x} : Xy{heading.y, -heading.x};
  double off = 0.0, half = 0.0;
  std::string placed_by = "footway";
  if (!street.for_feet_alone) {
    half = street.half_width_m;
    placed_by = to_string(street.width_from);
    const double here = facade_m(center, normal);
    if (street.width_from == WidthFrom::fallback) {
      // Between near houses a street is narrower than its class; leave both sides a footway.
      const double nearest = std::min(here, facade_m(center, {-normal.x, -normal.y}));
      half = std::clamp(nearest - footway_m_, std::min(least_half_m_, half), half);
    }
    if (here < half + kerb_gap_m_ + facade_gap_m_) {
      why = Unfit::no_room;
      return std::nullopt;
    }
    off = half + 0.5 * footway_m_;
    if (std::isfinite(here)) {
      // A house this near has the footway before it.
      const double before_house = std::max(here - 0.5 * footway_m_, half + kerb_gap_m_);
      if (street.width_from == WidthFrom::fallback && before_house > off) placed_by = "facade";
      off = street.width_from == WidthFrom::fallback ? before_house : std::min(off, before_house);
    }
  }
  const Xy place{center.x + off * normal.x, center.y + off * normal.y};
  why = unfit(place, way, half);
  if (why != Unfit::none) return std::nullopt;
  return Stand{.ground = {place.x, place.y, scene.ground.height_at(place.x, place.y)},
               .off_m = off,
               .placed_by = placed_by};
}

Unfit Footways::unfit(Xy place, std::optional<std::size_t> own, double own_half_m) const {
  const Scene& scene = caster_->scene();
  const double ground = scene.ground.height_at(place.x, place.y);
  if (std::isnan(ground)) return Unfit::off_ground;
  if (footprints_.building_at(place.x, place.y)) return Unfit::building;
  for (std::size_t w = 0; w < ways_->size(); ++w) {
    const WalkerStreet& way = (*ways_)[w];
    if (way.for_feet_alone) continue;
    const bool same = own && (w == *own || (!way.name.empty() && way.name == (*ways_)[*own].name));
    const double half = same ? std::min(own_half_m, way.half_width_m) : way.half_width_m;
    if (distance_to_way_m(w, place) < half) return Unfit::carriageway;
  }
  const MapPoint map = scene.frame.map_from_scene({place.x, place.y, ground});
  for (const AvoidArea& area : map_->avoid) {
    if (contains(area.polygons, {map.x_m, map.y_m})) return Unfit::avoided;
  }
  const Transparent things{.blocking = opaque_mask & ~mask_of(ObstacleKind::ground), .ignored = {}};
  const double tall_m = 60.0;
  for (const Crossing& thing : caster_->crossings({place.x, place.y, ground + 0.05},
                                                  {place.x, place.y, ground + tall_m}, things)) {
    if (thing.enter_m < head_m_) return Unfit::obstacle;
  }
  return Unfit::none;
}

bool Footways::on_a_footway(Xy place) const {
  if (unfit(place) != Unfit::none) return false;
  for (std::size_t w = 0; w < ways_->size(); ++w) {
    const WalkerStreet& way = (*ways_)[w];
    if (!way.walkable) continue;
    const double strip = way.for_feet_alone ? 0.5 * footway_m_ : way.half_width_m + footway_m_;
    if (distance_to_way_m(w, place) <= strip) return true;
  }
  return false;
}

bool Footways::parking_at(Xy place) const {
  const Scene& scene = caster_->scene();
  const MapPoint map = scene.frame.map_from_scene({place.x, place.y, 0.0});
  const Xy at{map.x_m, map.y_m};
  return std::any_of(map_->parking.begin(), map_->parking.end(), [&](const ParkingPlace& p) {
    if (!p.polygons.empty()) return contains(p.polygons, at);
    if (p.line.size() == 1)
      return std::hypot(p.line[0].x - at.x, p.line[0].y - at.y) <= half_bay_m_;
    for (std::size_t i = 0; i + 1 < p.line.size(); ++i) {
      const double t = nearest_share(p.line[i], p.line[i + 1], at);
      const Xy q{p.line[i].x + t * (p.line[i + 1].x - p.line[i].x),
                 p.line[i].y + t * (p.line[i + 1].y - p.line[i].y)};
      if (std::hypot(q.x - at.x, q.y - at.y) <= half_bay_m_) return true;
    }
    return false;
  });
}

}  // namespace sim
