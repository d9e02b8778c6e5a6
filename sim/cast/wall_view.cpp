#include "sim/cast/wall_view.h"

#include <bit>

namespace sim {

WallView::WallView(const PathAxes& axes, const UprightShape& shape, WallRoom& room)
    : axes_(axes), shape_(shape), room_(room), rise_m_(axes.b.z_m - axes.a.z_m) {
  const std::size_t count = shape.x_m.size();
  if (room.share.size() < count) {
    room.share.resize(count);
    room.aside_m.resize(count);
  }
  double* const share = room.share.data();
  double* const aside = room.aside_m.data();
  const double* const x = shape.x_m.data();
  const double* const y = shape.y_m.data();
  const double ax = axes.a.x_m, ay = axes.a.y_m, ux = axes.along.x_m, uy = axes.along.y_m;
  const double per_m = 1.0 / axes.level_m;
  for (std::size_t i = 0; i < count; ++i) {
    const double dx = x[i] - ax, dy = y[i] - ay;
    share[i] = (dx * ux + dy * uy) * per_m;
    aside[i] = dy * ux - dx * uy;
  }
  room.passed.clear();
  const auto pass = [&](std::size_t i, std::size_t k) {
    room.passed.push_back(
        {share[i] + aside[i] / (aside[i] - aside[k]) * (share[k] - share[i]), aside[k] < 0.0});
  };
  if (shape.ring_ends.size() == 1 && count <= 64) {
    // Nearly all: which corners are on the right as bits, of which the walls that pass change two.
    std::uint64_t right = 0;
    for (std::size_t i = 0; i < count; ++i) {
      right |= static_cast<std::uint64_t>(aside[i] < 0.0) << i;
    }
    std::uint64_t changes = right ^ (right >> 1 | (right & 1) << (count - 1));
    for (; changes != 0; changes &= changes - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(changes));
      pass(i, i + 1 == count ? 0 : i + 1);
    }
  } else {
    shape.each_wall([&](std::uint32_t i, std::uint32_t k) {
      if ((aside[i] < 0.0) != (aside[k] < 0.0)) pass(i, k);
    });
  }
}

void WallView::find_ends() {
  const double* const share = room_.share.data();
  least_share_ = most_share_ = share[0];
  for (std::size_t i = 1; i < shape_.x_m.size(); ++i) {
    least_share_ = std::min(least_share_, share[i]);
    most_share_ = std::max(most_share_, share[i]);
  }
}

std::optional<StretchInside> WallView::inside(double length_m) const {
  if (room_.passed.empty()) return std::nullopt;
  // Between which shares the path has the height of the thing.
  constexpr double infinite = std::numeric_limits<double>::infinity();
  double low = -infinite, high = infinite;
  if (rise_m_ != 0.0) {
    const double at_low = (shape_.low_m - axes_.a.z_m) / rise_m_,
                 at_high = (shape_.high_m - axes_.a.z_m) / rise_m_;
    low = std::min(at_low, at_high);
    high = std::max(at_low, at_high);
  } else if (axes_.a.z_m < shape_.low_m || axes_.a.z_m > shape_.high_m) {
    return std::nullopt;
  }
  const double gap = RayCaster::endpoint_gap_m / length_m;
  const auto between_ends = [gap](double s) { return s > gap && s < 1.0 - gap; };
  StretchInside found{.enter_m = length_m, .exit_m = 0.0, .inside_m = 0.0};
  bool any = false;
  each_stretch([&](double opened, double closed) {
    const double from = std::max(opened, low), to = std::min(closed, high);
    if (!(to > from) || (!between_ends(from) && !between_ends(to))) return;
    const double enter_m = std::max(from, 0.0) * length_m, exit_m = std::min(to, 1.0) * length_m;
    found.enter_m = std::min(found.enter_m, enter_m);
    found.exit_m = std::max(found.exit_m, exit_m);
    found.inside_m += exit_m - enter_m;
    any = true;
  });
  return any ? std::optional(found) : std::nullopt;
}

void WallView::cut_upright(Reaches& cut) const {
  for (const WallRoom::Passed& wall : room_.passed) {
    const double height = height_m(wall.share);
    cut.upright(shape_.high_m - height, wall.share);
    cut.upright(shape_.low_m - height, wall.share);
  }
}

void WallView::reach_of_corners(Reaches& reaches) const {
  double most_left = -1e300, most_right = -1e300;
  std::size_t left = 0, right = 0;
  for (std::size_t i = 0; i < shape_.x_m.size(); ++i) {
    const double share = room_.share[i], aside = room_.aside_m[i];
    const double square = aside * std::abs(aside) / (share * (1.0 - share));
    const bool more_left = square > most_left, more_right = -square > most_right;
    most_left = more_left ? square : most_left;
    left = more_left ? i : left;
    most_right = more_right ? -square : most_right;
    right = more_right ? i : right;
  }
  reaches.left.consider(room_.aside_m[left], room_.share[left]);
  reaches.right.consider(-room_.aside_m[right], room_.share[right]);
}

Reaches WallView::cut() {
  Reaches cut;
  find_ends();
  cut_upright(cut);
  if (all_beside() && all_at_height()) {
    reach_of_corners(cut);
    return cut;
  }
  each_wall([&](const Place& p, const Place& q) {
    const double p_height = height_m(p.share), q_height = height_m(q.share);
    each_end_beside(p, q, [&](const Place& r) {
      const double height = height_m(r.share);
      if (height >= shape_.low_m && height <= shape_.high_m) cut.level(r.aside_m, r.share);
    });
    for (const double z : {shape_.low_m, shape_.high_m}) {
      if ((p_height < z) == (q_height < z)) continue;
      const Place r = between(p, q, (z - p_height) / (q_height - p_height));
      cut.level(r.aside_m, r.share);
    }
  });
  return cut;
}

Reaches WallView::whole() {
  Reaches whole, cut;
  find_ends();
  cut_upright(cut);
  const auto upright = [&](const Place& r) {
    const double height = height_m(r.share);
    whole.upright(shape_.high_m - height, r.share);
    whole.upright(shape_.low_m - height, r.share);
  };
  const bool is_cut = cut.top.found();
  if (is_cut) {
    whole.top = cut.top;
    whole.bottom = cut.bottom;
  }
  const bool beside = all_beside();
  if (beside) reach_of_corners(whole);
  each_wall([&](const Place& p, const Place& q) {
    const auto reach = [&](const Place& r) {
      if (!is_cut) upright(r);
      whole.level(r.aside_m, r.share);
    };
    if (!beside) {
      each_end_beside(p, q, reach);
    } else if (!is_cut) {
      upright(p);
    }
    // A wall that stays on one side comes nearest, in Fresnel radii, where its distances at the
    // two ends of the path say: h^2 / (s (1 - s)) is least at s = h_a / (h_a + h_b).
    const double run = q.share - p.share, over = q.aside_m - p.aside_m;
    if (p.aside_m * q.aside_m <= 0.0 || std::abs(run) < 1e-9) return;
    // h_a, h_b and their sum, each times the run: what comes nearest at a corner needs no division.
    const double a_run = p.aside_m * run - p.share * over, b_run = a_run + over;
    const double sum_run = a_run + b_run;
    const double past = a_run - p.share * sum_run, whole_run = sum_run * run;
    if (a_run * b_run <= 0.0 || past * whole_run <= 0.0 || std::abs(past) >= std::abs(whole_run)) {
      return;
    }
    reach(between(p, q, past / whole_run));
  });
  return whole;
}

}  // namespace sim
