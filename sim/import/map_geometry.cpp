#include "sim/import/map_geometry.h"

#include <algorithm>

namespace sim {

double area_m2(const MapRing& ring) {
  double twice = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Xy a = ring[i], b = ring[(i + 1) % ring.size()];
    twice += (a.x - ring[0].x) * (b.y - ring[0].y) - (b.x - ring[0].x) * (a.y - ring[0].y);
  }
  return 0.5 * twice;
}

std::vector<MapPolygon> map_polygons(const PolygonSet& set) {
  std::vector<MapPolygon> polygons;
  for (const PolygonShape& shape : set.polygons) {
    MapPolygon polygon;
    for (const CoordinateList& closed : shape.rings) {
      MapRing ring;
      for (const Coordinate& c : closed) {
        if (ring.empty() || !(ring.back() == Xy{c.x, c.y})) ring.push_back({c.x, c.y});
      }
      if (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
      if (ring.size() < 3) continue;
      const bool shell = &closed == &shape.rings.front();
      if ((area_m2(ring) > 0.0) != shell) std::reverse(ring.begin(), ring.end());
      if (shell) {
        polygon.shell = std::move(ring);
      } else {
        polygon.holes.push_back(std::move(ring));
      }
    }
    if (!polygon.shell.empty()) polygons.push_back(std::move(polygon));
  }
  return polygons;
}

namespace {

bool ring_contains(const MapRing& ring, Xy p) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Xy a = ring[i], b = ring[j];
    if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}

}  // namespace

bool contains(const MapPolygon& polygon, Xy p) {
  if (!ring_contains(polygon.shell, p)) return false;
  return std::none_of(polygon.holes.begin(), polygon.holes.end(),
                      [&](const MapRing& hole) { return ring_contains(hole, p); });
}

bool contains(const std::vector<MapPolygon>& polygons, Xy p) {
  return std::any_of(polygons.begin(), polygons.end(),
                     [&](const MapPolygon& polygon) { return contains(polygon, p); });
}

MapBounds bounds_of(const std::vector<MapPolygon>& polygons) {
  MapBounds box{1e300, 1e300, -1e300, -1e300};
  for (const MapPolygon& polygon : polygons) {
    for (const Xy p : polygon.shell) {
      box = {std::min(box.west, p.x), std::min(box.south, p.y), std::max(box.east, p.x),
             std::max(box.north, p.y)};
    }
  }
  return box;
}

}  // namespace sim
