// Points typed by frame, and the one conversion between the map and the scene.
#pragma once

#include <cmath>
#include <limits>
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
  return std::sqrt(
      dot(a - b, a - b));  // hypot guards a range that no street has, at five times the cost
}
template <class Frame>
double horizontal_distance_m(Point<Frame> a, Point<Frame> b) {
  const double x_m = a.x_m - b.x_m, y_m = a.y_m - b.y_m;
  return std::sqrt(x_m * x_m + y_m * y_m);
}

using MapPoint = Point<Map>;
using ScenePoint = Point<Local>;

/// Where the scene lies on the map. The scene keeps the map's axes; `convergence` is the angle
/// from true north clockwise to grid north at the origin, and turns azimuths, not geometry.
///
/// Scene heights are over the plane that touches the effective Earth at the origin: a place r away
/// from it lies r^2 / (2 k R) lower than its elevation says. So a straight ray in the scene is a
/// radio ray over the curved Earth (P.526 section 4.5 has the same bulge between two ends). "Up" is
/// that of the origin: 5 km away it leans by 0.03 degrees, which is not followed.
struct SceneFrame {
  std::string crs_wkt;
  std::string vertical_datum;
  MapPoint origin;
  Angle convergence;
  /// How the convergence changes eastward and northward, radians per metre.
  double convergence_east_per_m = 0.0, convergence_north_per_m = 0.0;
  double effective_earth_radius_m = std::numeric_limits<double>::infinity();

  /// How far a place of the scene lies below the plane through the origin, metres.
  double drop_m(double x_m, double y_m) const {
    return (x_m * x_m + y_m * y_m) / (2.0 * effective_earth_radius_m);
  }
  ScenePoint scene_from_map(MapPoint p) const {
    const double x = p.x_m - origin.x_m, y = p.y_m - origin.y_m;
    return {x, y, p.z_m - origin.z_m - drop_m(x, y)};
  }
  MapPoint map_from_scene(ScenePoint p) const {
    return {p.x_m + origin.x_m, p.y_m + origin.y_m, p.z_m + drop_m(p.x_m, p.y_m) + origin.z_m};
  }
  /// Azimuth of `to` seen from `from`, clockwise from true north, in [0, 360) degrees.
  Angle true_azimuth(ScenePoint from, ScenePoint to) const;
  /// Horizontal unit vector of a true azimuth at a place, in scene axes.
  ScenePoint direction(Angle true_azimuth, ScenePoint at) const;
  /// From true north clockwise to grid north at a place.
  Angle convergence_at(ScenePoint p) const {
    return convergence +
           Angle::radians(p.x_m * convergence_east_per_m + p.y_m * convergence_north_per_m);
  }
};

/// Elevation of `to` above the horizon of `from`, positive up.
inline Angle elevation_angle(ScenePoint from, ScenePoint to) {
  return Angle::radians(std::atan2(to.z_m - from.z_m, horizontal_distance_m(from, to)));
}

}  // namespace sim
