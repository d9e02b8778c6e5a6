#include "sim/link/near_walls.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

constexpr int directions = 720;
constexpr double margin_m = 0.05;

/// Runs from 0 to `directions` round the compass, by the share of north and east: an angle without
/// its arc tangent.
double bin_of(double east, double north) {
  const double part = north / std::max(std::abs(east) + std::abs(north), 1e-12);
  const double quarters = east < 0.0 ? 2.0 - part : north < 0.0 ? 4.0 + part : part;
  return quarters * (directions / 4.0);
}

/// Unit vectors at the edges between directions.
const std::vector<FlatPoint>& edges() {
  static const std::vector<FlatPoint> all = [] {
    std::vector<FlatPoint> made;
    made.reserve(directions + 1);
    for (int i = 0; i <= directions; ++i) {
      const double quarters = 4.0 * (i % directions) / directions;
      const double north = quarters < 1.0   ? quarters
                           : quarters < 3.0 ? 2.0 - quarters
                                            : quarters - 4.0;
      const double east = (quarters > 1.0 && quarters < 3.0 ? -1.0 : 1.0) * (1.0 - std::abs(north));
      const double size = std::hypot(east, north);
      made.push_back({east / size, north / size});
    }
    return made;
  }();
  return all;
}

}  // namespace

void NearWalls::look(const ReflectingFaces& faces, ScenePoint eye) {
  eye_ = eye;
  by_direction_.assign(directions, {});
  for (const ReflectingFace& face : faces.all()) {
    const double over_m = face.height_over_m(eye);
    if (over_m < margin_m || over_m > reach_m) continue;
    if (face.kind == ObstacleKind::building && face.is_upright() && face.fills_bounds) put(face);
  }
}

void NearWalls::put(const ReflectingFace& face) {
  const double over_m = face.height_over_m(eye_);
  const double foot_m = face.in_plane(eye_).x_m;
  const FaceWindow& b = face.bounds;
  const double aside = std::max({b.u0_m - foot_m, foot_m - b.u1_m, 0.0});
  if (aside > reach_m) return;
  const ScenePoint p = face.in_space({b.u0_m, b.v0_m}), q = face.in_space({b.u1_m, b.v1_m});
  const double low_m = std::min(p.z_m, q.z_m) - eye_.z_m,
               high_m = std::max(p.z_m, q.z_m) - eye_.z_m;
  double first = bin_of(p.x_m - eye_.x_m, p.y_m - eye_.y_m),
         last = bin_of(q.x_m - eye_.x_m, q.y_m - eye_.y_m);
  double across = last - first;
  if (across < -0.5 * directions) across += directions;
  if (across > 0.5 * directions) across -= directions;
  if (across < 0.0) {
    first = last;
    across = -across;
  }
  const auto away_m = [&](int edge) {
    const FlatPoint way = edges()[static_cast<std::size_t>(edge)];
    const double cosine = -(way.x_m * face.normal.x_m + way.y_m * face.normal.y_m);
    return over_m / std::max(cosine, 1e-9);
  };
  const int from = static_cast<int>(std::ceil(first)),
            to = static_cast<int>(std::floor(first + across));
  for (int i = from; i < to; ++i) {
    const int bin = i % directions;
    const double one = away_m(bin), other = away_m(bin + 1);
    const double near_m = std::min(one, other), far_m = std::max(one, other);
    const double rise = high_m / (high_m > 0.0 ? far_m : near_m),
                 rise_from = low_m / (low_m > 0.0 ? near_m : far_m);
    Wall& wall = by_direction_[static_cast<std::size_t>(bin)];
    if (wall.away_m == 0.0 || rise > wall.rise) {
      wall = {.away_m = far_m, .rise_from = rise_from, .rise = rise};
    }
  }
}

bool NearWalls::hide(ScenePoint place) const {
  const double east = place.x_m - eye_.x_m, north = place.y_m - eye_.y_m;
  const auto bin = std::min(static_cast<std::size_t>(bin_of(east, north)),
                            static_cast<std::size_t>(directions - 1));
  const Wall& wall = by_direction_[bin];
  const double away_m = std::sqrt(east * east + north * north);
  if (wall.away_m == 0.0 || away_m < wall.away_m + margin_m) return false;
  const double rise = (place.z_m - eye_.z_m) / away_m;
  constexpr double surely = 1e-6;
  return rise < wall.rise - surely && rise > wall.rise_from + surely;
}

}  // namespace sim
