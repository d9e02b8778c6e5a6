// How far a thing reaches from a path on its four sides, gathered point by point.
#pragma once

#include <algorithm>
#include <cmath>

#include "sim/cast/ray_caster.h"

namespace sim {

/// The path as axes: along (horizontal), left of it, and its height.
struct PathAxes {
  ScenePoint a, b, along, left;
  double level_m = 0.0;  ///< horizontal length

  PathAxes(ScenePoint from, ScenePoint to) : a(from), b(to) {
    level_m = std::max(horizontal_distance_m(from, to), 1e-9);
    along = {(to.x_m - from.x_m) / level_m, (to.y_m - from.y_m) / level_m, 0.0};
    left = {-along.y_m, along.x_m, 0.0};
  }
  double share(ScenePoint p) const { return dot(p - a, along) / level_m; }
  double aside(ScenePoint p) const { return dot(p - a, left); }
  double above(ScenePoint p) const { return p.z_m - (a.z_m + share(p) * (b.z_m - a.z_m)); }
};

/// The offset that obstructs most on one side, and where along the path it does.
struct Reach {
  double offset_m = 0.0, share = 0.0;

  /// By the order of the Fresnel parameter, which goes as offset / sqrt(share (1 - share)).
  void consider(double offset, double at_share) {
    const double s = std::clamp(at_share, 1e-6, 1.0 - 1e-6);
    const double new_square = offset * std::abs(offset), new_parts = s * (1.0 - s);
    if (new_square * parts_ <= square_ * new_parts) return;
    square_ = new_square;
    parts_ = new_parts;
    offset_m = offset;
    share = at_share;
  }
  bool found() const { return square_ > -1e300; }
  /// Leaves both as they are where nothing was considered.
  void fill(double& offset, double& at_m, double length_m) const {
    if (!found()) return;
    offset = offset_m;
    at_m = share * length_m;
  }

 private:
  double square_ = -1e300, parts_ = 1.0;
};

/// Top and bottom as seen along the path; left and right.
struct Reaches {
  Reach top, bottom, left, right;

  void level(double aside, double share) {
    if (share <= 0.0 || share >= 1.0) return;
    left.consider(aside, share);
    right.consider(-aside, share);
  }
  void upright(double above, double share) {
    if (share <= 0.0 || share >= 1.0) return;
    top.consider(above, share);
    bottom.consider(-above, share);
  }
  Outline outline(double otherwise_at_m, double length_m) const {
    Outline o{.above_at_m = otherwise_at_m,
              .below_at_m = otherwise_at_m,
              .left_at_m = otherwise_at_m,
              .right_at_m = otherwise_at_m};
    top.fill(o.above_m, o.above_at_m, length_m);
    bottom.fill(o.below_m, o.below_at_m, length_m);
    left.fill(o.left_m, o.left_at_m, length_m);
    right.fill(o.right_m, o.right_at_m, length_m);
    return o;
  }
};

}  // namespace sim
