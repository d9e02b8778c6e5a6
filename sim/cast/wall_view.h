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

/// Part of a path inside a thing: from the first entry to the last exit, and the length within.
struct StretchInside {
  double enter_m = 0.0, exit_m = 0.0, inside_m = 0.0;
};

/// Room for the work of a WallView: one serves many, one after the other.
struct WallRoom {
  std::vector<double> aside_m, share;  ///< of every corner
  struct Passed {
    double share = 0.0;
    bool entering = false;
  };
  std::vector<Passed> passed;  ///< where the path's line goes through walls, seen in plan
};

/// What cutting the triangles of an upright shape gives, wall by wall.
class WallView {
 public:
  WallView(const PathAxes& axes, const UprightShape& shape, WallRoom& room);

  /// The part of the path inside; nullopt where it passes by, and where it meets no surface between
  /// its ends (`endpoint_gap_m` from each).
  std::optional<StretchInside> inside(double length_m) const;

  /// By the vertical plane of the path, and by the plane level with the path across it.
  Reaches cut();

  /// To either side all of it; top and bottom where the vertical plane cuts it, else of all of it.
  Reaches whole();

  /// In plan a path is at least this long, else it has no walls beside it.
  static constexpr double least_level_m = 1e-3;

  /// Calls `use(from, to)`, as shares of the path, for each part of its line that lies within the
  /// thing seen in plan.
  template <class Use>
  void each_stretch(Use use) const {
    std::sort(room_.passed.begin(), room_.passed.end(),
              [](const auto& p, const auto& q) { return p.share < q.share; });
    int depth = 0;
    double opened = 0.0;
    for (const WallRoom::Passed& wall : room_.passed) {
      if (wall.entering) {
        if (depth++ == 0) opened = wall.share;
      } else if (--depth == 0) {
        use(opened, wall.share);
      }
    }
  }

 private:
  // What goes on past an end of the path is left there: the edge at the very end of a path is the
  // dearest.
  static constexpr double first_share = 1e-3, last_share = 1.0 - first_share;

  struct Place {
    double share, aside_m;
  };
  Place place(std::uint32_t i) const { return {room_.share[i], room_.aside_m[i]}; }
  double height_m(double share) const { return axes_.a.z_m + share * rise_m_; }

  template <class Each>
  void each_wall(Each each) const {
    shape_.each_wall([&](std::uint32_t i, std::uint32_t k) { each(place(i), place(k)); });
  }
  static Place between(const Place& p, const Place& q, double t) {
    return {p.share + t * (q.share - p.share), p.aside_m + t * (q.aside_m - p.aside_m)};
  }
  /// Both ends of the part of a wall that stands beside the path.
  template <class Use>
  static void each_end_beside(const Place& p, const Place& q, Use use) {
    if (std::max(p.share, q.share) < first_share || std::min(p.share, q.share) > last_share) return;
    const auto held = [&](const Place& r, const Place& other) {
      if (r.share >= first_share && r.share <= last_share) return r;
      const double to = r.share < first_share ? first_share : last_share;
      return between(r, other, (to - r.share) / (other.share - r.share));
    };
    use(held(p, q));
    use(held(q, p));
  }
  void find_ends();
  bool all_beside() const { return least_share_ >= first_share && most_share_ <= last_share; }
  bool all_at_height() const {
    const double one = height_m(least_share_), other = height_m(most_share_);
    return std::min(one, other) >= shape_.low_m && std::max(one, other) <= shape_.high_m;
  }
  /// Top and bottom where the path's line goes through the walls.
  void cut_upright(Reaches& cut) const;
  /// The corner that obstructs most on either side, of a thing that is all beside the path.
  void reach_of_corners(Reaches& reaches) const;

  const PathAxes& axes_;
  const UprightShape& shape_;
  WallRoom& room_;
  double rise_m_;
  double least_share_ = 0.0, most_share_ = 0.0;  ///< of the corners, once asked for
};

}  // namespace sim
