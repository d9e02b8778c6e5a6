#include "sim/link/way_round.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/building_blocks.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double corner_gap_m = 0.05;  // a detour passes a corner at this distance
constexpr std::size_t most_corners = 6, most_blocks = 6;

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

/// The corners of a block of buildings that stand on this side of the direct path, at its height.
void add_corners(const SideFrame& frame, const PathProfile& path, const BuildingBlocks& blocks,
                 std::uint32_t block, std::vector<Corner>& corners) {
  const ScenePoint a = path.a, b = path.b;
  const double level = std::max(horizontal_distance_m(a, b), 1e-9);
  const double ux = (b.x_m - a.x_m) / level, uy = (b.y_m - a.y_m) / level;
  for (const BuildingBlocks::Corner& c : blocks.corners(block)) {
    const double dx = c.x_m - a.x_m, dy = c.y_m - a.y_m;
    const double aside = dx * frame.out.x_m + dy * frame.out.y_m;
    const double share = (dx * ux + dy * uy) / level;
    if (aside <= 0.0 || share <= 0.0 || share >= 1.0) continue;
    const double height = a.z_m + share * (b.z_m - a.z_m);
    if (height < c.low_m || height > c.high_m) continue;
    corners.push_back({share * path.length_m, aside, c.owner});
  }
}

/// Adds the corners that a string from p to q touches when it is drawn taut about all of them.
/// Reorders the corners: only those beyond the straight line from p to q can be touched.
void draw_taut(std::span<Corner> corners, const Corner& p, const Corner& q,
               std::vector<Corner>& string) {
  const double slope = (q.aside_m - p.aside_m) / std::max(q.at_m - p.at_m, 1e-9);
  std::size_t beyond = 0, farthest = 0;
  double most = 0.0;
  for (Corner& c : corners) {
    if (c.at_m <= p.at_m || c.at_m >= q.at_m) continue;
    const double out = c.aside_m - p.aside_m - slope * (c.at_m - p.at_m);
    if (out <= 1e-6) continue;
    if (out > most) {
      most = out;
      farthest = beyond;
    }
    std::swap(c, corners[beyond++]);
  }
  if (beyond == 0) return;
  const Corner peak = corners[farthest];
  draw_taut(corners.first(beyond), p, peak, string);
  string.push_back(peak);
  draw_taut(corners.first(beyond), peak, q, string);
}

/// v of the whole detour by how much longer it is than the direct path, in plan.
double detour_parameter(Frequency f, double length_m, const std::vector<Corner>& corners) {
  const auto length = [](double dx, double dy) { return std::sqrt(dx * dx + dy * dy); };
  double longer = -length_m, x = 0.0, y = 0.0;
  for (const Corner& c : corners) {
    longer += length(c.at_m - x, c.aside_m - y);
    x = c.at_m;
    y = c.aside_m;
  }
  longer += length(length_m - x, y);
  return 2.0 * std::sqrt(std::max(longer, 0.0) / f.wavelength_m());
}

/// What blocks one of the detour's legs; nullopt where all are clear.
std::optional<ObstacleId> leg_blocked(const PathSight& sight, const SideFrame& frame,
                                      const std::vector<Corner>& string) {
  const Transparent wide{.blocking = wide_mask, .ignored = sight.ignored};
  ScenePoint from = sight.path.a;
  for (std::size_t leg = 0; leg <= string.size(); ++leg) {
    const ScenePoint to = leg == string.size() ? sight.path.b : frame.point(string[leg]);
    if (const auto thing = sight.caster.thing_between(from, to, wide)) return thing;
    from = to;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Way> way_round(const PathSight& sight, bool left, Db worth) {
  const PathProfile& path = sight.path;
  const Scene& scene = sight.caster.scene();
  const BuildingBlocks& all = sight.caster.blocks();
  const SideFrame frame(path, left);
  std::vector<std::uint32_t> blocks;
  std::vector<Corner> corners, string;
  /// False where no way leads round the thing: the ground, or a block that is in already.
  const auto go_round = [&](ObstacleId id) {
    const std::uint32_t block = all.block_of(id);
    const bool known = std::find(blocks.begin(), blocks.end(), block) != blocks.end();
    if (known || block == BuildingBlocks::no_block) return false;
    blocks.push_back(block);
    add_corners(frame, path, all, block, corners);
    return true;
  };
  for (const Crossing& c : path.crossings) {
    if (scene.obstacles[c.obstacle].kind == ObstacleKind::ground) return std::nullopt;
    if (is_wide(scene.obstacles[c.obstacle].kind)) go_round(c.obstacle);
  }
  while (true) {
    string.clear();
    draw_taut(corners, {}, {.at_m = path.length_m}, string);
    if (string.empty() || string.size() > most_corners) return std::nullopt;
    const double v = detour_parameter(sight.frequency, path.length_m, string);
    if (knife_edge_loss(v) > worth) return std::nullopt;
    const auto thing = leg_blocked(sight, frame, string);
    if (!thing) break;
    if (blocks.size() >= most_blocks || !go_round(*thing)) return std::nullopt;
  }
  Way way;
  for (const Corner& c : string) {
    way.edges.push_back({.at_m = c.at_m, .above_m = c.aside_m});
    way.owners.push_back(c.owner);
  }
  way.chain = edge_chain_loss(sight.frequency, path.length_m, way.edges);
  return way.chain.loss > worth ? std::nullopt : std::optional(std::move(way));
}

}  // namespace sim
