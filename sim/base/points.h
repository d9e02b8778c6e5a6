// Points typed by frame, and the one conversion between the map and the scene.
#pragma once

#include <cmath>
#include <string>

#include "sim/base/units.h"

namespace sim {

struct Map;    ///< site CRS: easting, northing in metres, elevation above the vertical datum
struct Local;  ///< scene: metres east, north, up from the scene origin along the map's axes

/// A position or a difference of positions in one frame, metres.
template <class Frame>
struct Point {
  double x_m = 0.0, y_m = 0.0, z_m = 0.0;

  constexpr bool operator==(const Point&) const = default;
};
template <class Frame>
constexpr Point<Frame> operator+(Point<Frame> a, Point<Frame> b) {
  return {a.x_m + b.x_m, a.y_m + b.y_m, a.z_m + b.z_m};
}
template <class Frame>
constexpr Point<Frame> operator-(Point<Frame> a, Point<Frame> b) {
  return {a.x_m - b.x_m, a.y_m - b.y_m, a.z_m - b.z_m};
}
template <class Frame>
constexpr Point<Frame> operator*(double s, Point<Frame> a) {
  return {s * a.x_m, s * a.y_m, s * a.z_m};
}
template <class Frame>
constexpr double dot(Point<Frame> a, Point<Frame> b) {
  return a.x_m * b.x_m + a.y_m * b.y_m + a.z_m * b.z_m;
}
template <class Frame>
constexpr Point<Frame> cross(Point<Frame> a, Point<Frame> b) {
  return {a.y_m * b.z_m - a.z_m * b.y_m, a.z_m * b.x_m - a.x_m * b.z_m,
          a.x_m * b.y_m - a.y_m * b.x_m};
}
template <class Frame>
double distance_m(Point<Frame> a, Point<Frame> b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m, a.z_m - b.z_m);
}
template <class Frame>
double horizontal_distance_m(Point<Frame> a, Point<Frame> b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

using MapPoint = Point<Map>;
using ScenePoint = Point<Local>;

/// Where the scene lies on the map. The scene keeps the map's axes; `convergence` is the angle
/// from true north clockwise to grid north at the origin, and turns azimuths, not geometry.
struct SceneFrame {
  std::string crs_wkt;
  std::string vertical_datum;
  MapPoint origin;
  Angle convergence;

  ScenePoint scene_from_map(MapPoint p) const {
    return {p.x_m - origin.x_m, p.y_m - origin.y_m, p.z_m - origin.z_m};
  }
  MapPoint map_from_scene(ScenePoint p) const {
    return {p.x_m + origin.x_m, p.y_m + origin.y_m, p.z_m + origin.z_m};
  }
  /// Azimuth of `to` seen from `from`, clockwise from true north, in [0, 360) degrees.
  Angle true_azimuth(ScenePoint from, ScenePoint to) const;
  /// Horizontal unit vector of a true azimuth, in scene axes.
  ScenePoint direction(Angle true_azimuth) const;
};

/// Elevation of `to` above the horizon of `from`, positive up.
inline Angle elevation_angle(ScenePoint from, ScenePoint to) {
  return Angle::radians(std::atan2(to.z_m - from.z_m, horizontal_distance_m(from, to)));
}

}  // namespace sim
