#include "sim/link/way_round.h"

#include <algorithm>
#include <cmath>

#include "sim/cast/building_blocks.h"
#include "sim/link/taut_string.h"
#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

constexpr double corner_gap_m = 0.05;  // a detour passes a corner at this distance
constexpr std::size_t most_corners = 6, most_blocks = 6;

/// The detours' frame: along the direct path, and square to it on the left, level.
struct PathFrame {
  ScenePoint a, step, left;
  double length_m = 0.0;
  double along_x, along_y, per_level_m, rise_m;  ///< in plan

  explicit PathFrame(const PathProfile& path) : a(path.a), length_m(path.length_m) {
    step = (1.0 / path.length_m) * (path.b - path.a);
    const double level = std::max(horizontal_distance_m(path.a, path.b), 1e-9);
    along_x = (path.b.x_m - path.a.x_m) / level;
    along_y = (path.b.y_m - path.a.y_m) / level;
    left = {-along_y, along_x, 0.0};
    per_level_m = 1.0 / level;
    rise_m = path.b.z_m - path.a.z_m;
  }
  /// A place beside a corner of the left (sign 1) or right side (-1).
  ScenePoint point(const DetourCorner& c, double sign) const {
    return a + c.at_m * step + (sign * (c.aside_m + corner_gap_m)) * left;
  }
};

/// Calls `use(corner, on_left)` for the corners of a block of buildings that stand beside the
/// direct path, at its height: for those that a string may touch.
template <class Use>
void each_corner(const PathFrame& frame, const BuildingBlocks& blocks, std::uint32_t block,
                 Use use) {
  const auto look = [&](std::span<const BuildingBlocks::Corner> corners) {
    bool all = true;
    for (const BuildingBlocks::Corner& c : corners) {
      const double dx = c.x_m - frame.a.x_m, dy = c.y_m - frame.a.y_m;
      const double aside = dx * frame.left.x_m + dy * frame.left.y_m;
      const double share = (dx * frame.along_x + dy * frame.along_y) * frame.per_level_m;
      const double height = frame.a.z_m + share * frame.rise_m;
      const bool counts =
          (share > 0.0) & (share < 1.0) & (height >= c.low_m) & (height <= c.high_m);
      all &= counts;
      if (counts && aside != 0.0) {
        use(DetourCorner{share * frame.length_m, std::abs(aside), c.owner}, aside > 0.0);
      }
    }
    return all;
  };
  const auto outermost = blocks.outermost(block), corners = blocks.corners(block);
  if (!look(outermost)) look(corners.subspan(outermost.size()));
}

/// v of the whole detour by how much longer it is than the direct path, in plan.
double detour_parameter(Frequency f, double length_m, const std::vector<DetourCorner>& corners) {
  const auto length = [](double dx, double dy) { return std::sqrt(dx * dx + dy * dy); };
  double longer = -length_m, x = 0.0, y = 0.0;
  for (const DetourCorner& c : corners) {
    longer += length(c.at_m - x, c.aside_m - y);
    x = c.at_m;
    y = c.aside_m;
  }
  longer += length(length_m - x, y);
  return 2.0 * std::sqrt(std::max(longer, 0.0) / f.wavelength_m());
}

/// One side's detour, leg by leg.
class Legs {
 public:
  Legs(const PathSight& sight, const PathFrame& frame, bool left)
      : sight_(sight), frame_(frame), sign_(left ? 1.0 : -1.0) {}

  /// What blocks one of the legs; nullopt where all are clear. Those that were found clear before
  /// are not asked for again.
  std::optional<ObstacleId> blocked(const std::vector<DetourCorner>& string) {
    const Transparent wide{.blocking = wide_mask, .ignored = sight_.ignored};
    DetourCorner from, end{.at_m = frame_.length_m};
    ScenePoint start = sight_.path.a;
    for (std::size_t leg = 0; leg <= string.size(); ++leg) {
      const bool last = leg == string.size();
      const DetourCorner& to = last ? end : string[leg];
      const ScenePoint stop = last ? sight_.path.b : frame_.point(to, sign_);
      if (!known_clear(from, to)) {
        if (const auto thing = sight_.caster.thing_between(start, stop, wide)) return thing;
        if (clear_count_ < clear_.size()) clear_[clear_count_++] = {from, to};
      }
      from = to;
      start = stop;
    }
    return std::nullopt;
  }

 private:
  bool known_clear(const DetourCorner& from, const DetourCorner& to) const {
    return std::any_of(clear_.begin(), clear_.begin() + clear_count_,
                       [&](const auto& leg) { return leg.first == from && leg.second == to; });
  }

  const PathSight& sight_;
  const PathFrame& frame_;
  double sign_;
  std::array<std::pair<DetourCorner, DetourCorner>, 8> clear_;
  std::size_t clear_count_ = 0;
};

/// The way on one side; `string` has the corners of the blocks that are crossed.
std::optional<Way> way_round(const PathSight& sight, const PathFrame& frame, bool left, Db worth,
                             std::span<const std::uint32_t> crossed, TautString& string) {
  thread_local std::vector<std::uint32_t> blocks;
  blocks.assign(crossed.begin(), crossed.end());
  const BuildingBlocks& all = sight.caster.blocks();
  Legs legs(sight, frame, left);
  while (true) {
    const std::vector<DetourCorner>& corners = string.draw(frame.length_m);
    if (corners.empty() || corners.size() > most_corners) return std::nullopt;
    const double v = detour_parameter(sight.frequency, frame.length_m, corners);
    if (knife_edge_loss(v) > worth) return std::nullopt;
    const auto thing = legs.blocked(corners);
    if (!thing) {
      Way way;
      way.edges.reserve(corners.size());
      way.owners.reserve(corners.size());
      for (const DetourCorner& c : corners) {
        way.edges.push_back({.at_m = c.at_m, .above_m = c.aside_m});
        way.owners.push_back(c.owner);
      }
      way.chain = edge_chain_loss(sight.frequency, frame.length_m, way.edges);
      return way.chain.loss > worth ? std::nullopt : std::optional(std::move(way));
    }
    // No way leads round the ground, nor on where a block is in already.
    const std::uint32_t block = all.block_of(*thing);
    const bool known = std::find(blocks.begin(), blocks.end(), block) != blocks.end();
    if (blocks.size() >= most_blocks || known || block == BuildingBlocks::no_block) {
      return std::nullopt;
    }
    blocks.push_back(block);
    each_corner(frame, all, block, [&](const DetourCorner& corner, bool on_left) {
      if (on_left == left) string.add(corner);
    });
  }
}

}  // namespace

std::array<std::optional<Way>, 2> ways_round(const PathSight& sight, Db worth) {
  const Scene& scene = sight.caster.scene();
  const BuildingBlocks& all = sight.caster.blocks();
  const PathFrame frame(sight.path);
  thread_local std::vector<std::uint32_t> blocks;
  thread_local TautString left, right;
  blocks.clear();
  left.clear();
  right.clear();
  for (const Crossing& c : sight.path.crossings) {
    const ObstacleKind kind = scene.obstacles[c.obstacle].kind;
    if (kind == ObstacleKind::ground) return {};
    if (!is_wide(kind)) continue;
    const std::uint32_t block = all.block_of(c.obstacle);
    const bool known = std::find(blocks.begin(), blocks.end(), block) != blocks.end();
    if (known || block == BuildingBlocks::no_block) continue;
    blocks.push_back(block);
    each_corner(frame, all, block, [&](const DetourCorner& corner, bool on_left) {
      (on_left ? left : right).add(corner);
    });
  }
  return {way_round(sight, frame, true, worth, blocks, left),
          way_round(sight, frame, false, worth, blocks, right)};
}

}  // namespace sim
