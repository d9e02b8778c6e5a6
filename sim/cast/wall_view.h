// A thing with upright walls as a path sees it.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "sim/cast/reaches.h"
#include "sim/cast/upright_shapes.h"

namespace sim {

/// A place where the path's line passes a wall, seen in plan.
struct WallPassed {
  double share = 0.0;
  bool entering = false;
};

/// Part of a path inside a thing: from the first entry to the last exit, and the length within.
struct StretchInside {
  double enter_m = 0.0, exit_m = 0.0, inside_m = 0.0;
};

/// What cutting the triangles of an upright shape gives, wall by wall.
class WallView {
 public:
  WallView(const PathAxes& axes, const UprightShape& shape)
      : axes_(axes), shape_(shape), slope_(axes.b.z_m - axes.a.z_m), per_m_(1.0 / axes.level_m) {}

  /// The part of the path inside; nullopt where it passes by, and where it meets no surface between
  /// its ends (`endpoint_gap_m` from each). `passed` is room for the work.
  std::optional<StretchInside> inside(double length_m, std::vector<WallPassed>& passed) const {
    passed.clear();
    each_wall_aside([&](const PlanWall& w, double p_aside, double q_aside) {
      if ((p_aside < 0.0) == (q_aside < 0.0)) return;
      const double p_share = share(w.x0_m, w.y0_m), q_share = share(w.x1_m, w.y1_m);
      // Outside is on the right of a wall.
      passed.push_back({p_share + p_aside / (p_aside - q_aside) * (q_share - p_share),
                        q_aside < 0.0});
    });
    if (passed.empty()) return std::nullopt;
    std::sort(passed.begin(), passed.end(), [](const WallPassed& p, const WallPassed& q) {
      return p.share < q.share;
    });
    // Between which shares the path has the height of the thing.
    double low = -infinite, high = infinite;
    if (slope_ != 0.0) {
      const double at_low = (shape_.low_m - axes_.a.z_m) / slope_,
                   at_high = (shape_.high_m - axes_.a.z_m) / slope_;
      low = std::min(at_low, at_high);
      high = std::max(at_low, at_high);
    } else if (axes_.a.z_m < shape_.low_m || axes_.a.z_m > shape_.high_m) {
      return std::nullopt;
    }
    const double gap = RayCaster::endpoint_gap_m / length_m;
    const auto between_ends = [gap](double s) { return s > gap && s < 1.0 - gap; };
    StretchInside found{.enter_m = length_m, .exit_m = 0.0, .inside_m = 0.0};
    bool any = false;
    int depth = 0;
    double opened = 0.0;
    for (const WallPassed& wall : passed) {
      if (wall.entering) {
        if (depth++ == 0) opened = wall.share;
        continue;
      }
      if (--depth != 0) continue;
      const double from = std::max(opened, low), to = std::min(wall.share, high);
      if (!(to > from) || (!between_ends(from) && !between_ends(to))) continue;
      const double enter_m = std::max(from, 0.0) * length_m, exit_m = std::min(to, 1.0) * length_m;
      found.enter_m = std::min(found.enter_m, enter_m);
      found.exit_m = std::max(found.exit_m, exit_m);
      found.inside_m += exit_m - enter_m;
      any = true;
    }
    return any ? std::optional(found) : std::nullopt;
  }

  /// By the vertical plane of the path, and by the plane level with the path across it.
  Reaches cut() const {
    Reaches cut;
    each_wall([&](const Place& p, const Place& q) {
      cut_upright(p, q, cut);
      const auto reach = [&](const Place& r) {
        if (r.height_m >= shape_.low_m && r.height_m <= shape_.high_m)
          cut.level(r.aside_m, r.share);
      };
      each_end_beside(p, q, reach);
      for (const double z : {shape_.low_m, shape_.high_m}) {
        if ((p.height_m < z) == (q.height_m < z)) continue;
        const Place r = between(p, q, (z - p.height_m) / (q.height_m - p.height_m));
        cut.level(r.aside_m, r.share);
      }
    });
    return cut;
  }

  /// To either side all of it; top and bottom where the vertical plane cuts it, else of all of it.
  Reaches whole() const {
    Reaches whole, cut;
    each_wall([&](const Place& p, const Place& q) {
      cut_upright(p, q, cut);
      const auto reach = [&](const Place& r) {
        whole.upright(shape_.high_m - r.height_m, r.share);
        whole.upright(shape_.low_m - r.height_m, r.share);
        whole.level(r.aside_m, r.share);
      };
      each_end_beside(p, q, reach);
      // A wall that stays on one side comes nearest, in Fresnel radii, where its distances at the
      // two ends of the path say: h^2 / (s (1 - s)) is least at s = h_a / (h_a + h_b).
      const double run = q.share - p.share;
      if (p.aside_m * q.aside_m <= 0.0 || std::abs(run) < 1e-9) return;
      const double per_share = (q.aside_m - p.aside_m) / run;
      const double at_a = p.aside_m - p.share * per_share, at_b = at_a + per_share;
      if (at_a * at_b <= 0.0) return;
      const double t = (at_a / (at_a + at_b) - p.share) / run;
      if (t > 0.0 && t < 1.0) reach(between(p, q, t));
    });
    if (cut.top.found()) {
      whole.top = cut.top;
      whole.bottom = cut.bottom;
    }
    return whole;
  }

 private:
  static constexpr double infinite = std::numeric_limits<double>::infinity();

  struct Place {
    double share, aside_m, height_m;  ///< height of the path there
  };
  Place place(double x, double y) const {
    const double dx = x - axes_.a.x_m, dy = y - axes_.a.y_m;
    const double share = (dx * axes_.along.x_m + dy * axes_.along.y_m) * per_m_;
    return {share, dx * axes_.left.x_m + dy * axes_.left.y_m, axes_.a.z_m + share * slope_};
  }
  double aside(double x, double y) const {
    return (x - axes_.a.x_m) * axes_.left.x_m + (y - axes_.a.y_m) * axes_.left.y_m;
  }
  double share(double x, double y) const {
    return ((x - axes_.a.x_m) * axes_.along.x_m + (y - axes_.a.y_m) * axes_.along.y_m) * per_m_;
  }
  template <class Each>
  void each_wall_aside(Each each) const {
    double x = std::numeric_limits<double>::quiet_NaN(), y = x, last = 0.0;
    for (const PlanWall& wall : shape_.walls) {
      const double p = wall.x0_m == x && wall.y0_m == y ? last : aside(wall.x0_m, wall.y0_m);
      last = aside(wall.x1_m, wall.y1_m);
      each(wall, p, last);
      x = wall.x1_m;
      y = wall.y1_m;
    }
  }
  template <class Each>
  void each_wall(Each each) const {
    // Most walls begin where the one before ended.
    double x = std::numeric_limits<double>::quiet_NaN(), y = x;
    Place last{};
    for (const PlanWall& wall : shape_.walls) {
      const Place p = wall.x0_m == x && wall.y0_m == y ? last : place(wall.x0_m, wall.y0_m);
      last = place(wall.x1_m, wall.y1_m);
      each(p, last);
      x = wall.x1_m;
      y = wall.y1_m;
    }
  }
  static Place between(const Place& p, const Place& q, double t) {
    return {p.share + t * (q.share - p.share), p.aside_m + t * (q.aside_m - p.aside_m),
            p.height_m + t * (q.height_m - p.height_m)};
  }
  /// Both ends of the part of a wall that stands beside the path. What goes on past an end of the
  /// path is left there: the edge at the very end of a path is the dearest.
  template <class Use>
  static void each_end_beside(const Place& p, const Place& q, Use use) {
    constexpr double first = 1e-3, last = 1.0 - first;
    if (std::max(p.share, q.share) < first || std::min(p.share, q.share) > last) return;
    const auto held = [&](const Place& r, const Place& other) {
      if (r.share >= first && r.share <= last) return r;
      const double to = r.share < first ? first : last;
      return between(r, other, (to - r.share) / (other.share - r.share));
    };
    use(held(p, q));
    use(held(q, p));
  }
  void cut_upright(const Place& p, const Place& q, Reaches& cut) const {
    if ((p.aside_m < 0.0) == (q.aside_m < 0.0)) return;
    const double share = p.share + p.aside_m / (p.aside_m - q.aside_m) * (q.share - p.share);
    const double height = axes_.a.z_m + share * slope_;
    cut.upright(shape_.high_m - height, share);
    cut.upright(shape_.low_m - height, share);
  }

  const PathAxes& axes_;
  const UprightShape& shape_;
  double slope_, per_m_;
};

}  // namespace sim
