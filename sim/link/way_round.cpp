#include "sim/link/way_round.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/knife_edge.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double corner_gap_m = 0.05;  // a detour passes a corner at this distance
constexpr std::size_t most_corners = 4;

struct Corner {
  double at_m = 0.0, aside_m = 0.0;  ///< along the direct path, and outwards from it
  ObstacleId owner = no_obstacle;
};

/// The detour's frame: along the direct path and square to it on one side, level.
struct SideFrame {
  ScenePoint a, step, out;
  double length_m = 0.0;

  SideFrame(const PathProfile& path, bool left) : a(path.a), length_m(path.length_m) {
    step = (1.0 / path.length_m) * (path.b - path.a);
    const double level = std::max(horizontal_distance_m(path.a, path.b), 1e-9);
    const double sign = left ? 1.0 : -1.0;
    out = {-sign * (path.b.y_m - path.a.y_m) / level, sign * (path.b.x_m - path.a.x_m) / level,
           0.0};
  }
  ScenePoint point(const Corner& c) const {
    return a + c.at_m * step + (c.aside_m + corner_gap_m) * out;
  }
};

/// The corner of a thing that reaches farthest past the leg p to q of a detour.
std::optional<Corner> corner_on(const PathSight& sight, const SideFrame& frame,
                                const std::vector<Crossing>& crossings, ScenePoint p, ScenePoint q,
                                bool left) {
  std::optional<Corner> worst;
  double most = -1e300;
  const double leg_m = distance_m(p, q);
  const ScenePoint along = (1.0 / leg_m) * (q - p);
  const double level = std::max(horizontal_distance_m(p, q), 1e-9);
  const double sign = left ? 1.0 : -1.0;
  const ScenePoint out{-sign * (q.y_m - p.y_m) / level, sign * (q.x_m - p.x_m) / level, 0.0};
  for (const Crossing& c : crossings) {
    const double offset = left ? c.outline.left_m : c.outline.right_m;
    const double at = left ? c.outline.left_at_m : c.outline.right_at_m;
    if (!std::isfinite(offset)) return std::nullopt;  // the ground: no way round
    const double v = edge_parameter(sight.frequency, leg_m, at, offset);
    if (v <= most) continue;
    most = v;
    const ScenePoint corner = p + at * along + offset * out - frame.a;
    worst = Corner{dot(corner, frame.step), dot(corner, frame.out), c.obstacle};
  }
  return worst;
}

/// v of the whole detour by how much longer it is than the direct path, in plan.
double detour_parameter(Frequency f, double length_m, const std::vector<Corner>& corners) {
  double longer = -length_m, x = 0.0, y = 0.0;
  for (const Corner& c : corners) {
    longer += std::hypot(c.at_m - x, c.aside_m - y);
    x = c.at_m;
    y = c.aside_m;
  }
  longer += std::hypot(length_m - x, y);
  return 2.0 * std::sqrt(std::max(longer, 0.0) / f.wavelength_m());
}

/// Lets go of corners that the string no longer touches.
void pull_taut(std::vector<Corner>& corners, double length_m) {
  for (std::size_t i = 0; i < corners.size();) {
    const Corner before = i > 0 ? corners[i - 1] : Corner{};
    const Corner after = i + 1 < corners.size() ? corners[i + 1] : Corner{.at_m = length_m};
    const double line = before.aside_m + (corners[i].at_m - before.at_m) /
                                             (after.at_m - before.at_m) *
                                             (after.aside_m - before.aside_m);
    if (corners[i].aside_m >= line) {
      ++i;
      continue;
    }
    corners.erase(corners.begin() + static_cast<std::ptrdiff_t>(i));
    i = i > 0 ? i - 1 : 0;
  }
}

}  // namespace

std::optional<Way> way_round(const PathSight& sight, bool left, Db worth) {
  const PathProfile& path = sight.path;
  const SideFrame frame(path, left);
  const Transparent wide{.blocking = wide_mask, .ignored = sight.ignored};
  std::vector<Crossing> blocking;
  for (const Crossing& c : path.crossings) {
    if (is_wide(sight.caster.scene().obstacles[c.obstacle].kind)) blocking.push_back(c);
  }
  auto first = corner_on(sight, frame, blocking, path.a, path.b, left);
  if (!first) return std::nullopt;
  std::vector<Corner> corners{*first};
  std::size_t wraps = 0;
  for (bool clear = false; !clear; ++wraps) {
    if (corners.size() > most_corners || wraps > 2 * most_corners) return std::nullopt;
    const double v = detour_parameter(sight.frequency, path.length_m, corners);
    if (knife_edge_loss(v) > worth) return std::nullopt;
    clear = true;
    for (std::size_t leg = 0; leg <= corners.size() && clear; ++leg) {
      const ScenePoint p = leg == 0 ? path.a : frame.point(corners[leg - 1]);
      const ScenePoint q = leg == corners.size() ? path.b : frame.point(corners[leg]);
      if (sight.caster.is_clear(p, q, wide)) continue;
      const auto next = corner_on(sight, frame, sight.caster.crossings(p, q, wide), p, q, left);
      // A corner that does not lie between its neighbours leads nowhere.
      const double from = leg == 0 ? 0.0 : corners[leg - 1].at_m;
      const double to = leg == corners.size() ? path.length_m : corners[leg].at_m;
      if (!next || !(next->at_m > from) || !(next->at_m < to)) return std::nullopt;
      corners.insert(corners.begin() + static_cast<std::ptrdiff_t>(leg), *next);
      pull_taut(corners, path.length_m);
      clear = false;
    }
  }
  Way way;
  for (const Corner& c : corners) {
    way.edges.push_back({.at_m = c.at_m, .above_m = c.aside_m});
    way.owners.push_back(c.owner);
  }
  way.chain = edge_chain_loss(sight.frequency, path.length_m, way.edges);
  return way;
}

}  // namespace sim
