#include "sim/serve/coarse_to_fine.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sim/serve/carry_over.h"

namespace sim {
namespace {

/// Squares of the first frame: about one ledger in three falls to a second kind of sight in a
/// square, and two cores have such a frame ready in some 60 ms (tests/bench/bench_serve.cpp).
constexpr double first_squares = 2000.0;
/// Where they need not be larger: about a street's width from house to house, so that every street
/// has its own.
constexpr double first_step_m = 16.0;
/// Cells between two looks at whether the answer is still wanted.
constexpr std::size_t chunk = 512;

class RefinedMap {
 public:
  explicit RefinedMap(const MapTask& task)
      : task_(task),
        scene_(task.caster.scene()),
        grid_(unanswered_grid(scene_, task.options)),
        has_ledger_(grid_.spec.size(), 0) {
    const StreetLattice::Ground ground = task.lattice.under(grid_.spec);
    cells_ = seen_cells(task.caster, ground, grid_.spec, task.options);
    mark_buildings(ground);
  }

  const PredictionGrid& grid() const { return grid_; }

  /// Cells per side of the first squares.
  int first_side() const {
    const auto nodes = static_cast<double>(scene_.nodes.size());
    const double links = static_cast<double>(cells_.size()) * nodes;
    const double side = std::max(std::floor(first_step_m / task_.options.spacing_m),
                                 std::ceil(std::sqrt(links / first_squares)));
    return std::max(1, static_cast<int>(side));
  }

  /// Ledgers for squares of so many cells, and levels for all cells. False when stopped.
  bool refine(int side, const LinkSettings& settings, const std::function<bool()>& stopped) {
    const LedgerSquares squares(grid_.spec, cells_, has_ledger_, side);
    std::vector<std::size_t> wanted;
    wanted.reserve(squares.donors().size());
    for (const LedgerSquares::Donor& donor : squares.donors()) {
      const std::size_t i = cells_[donor.seen].cell;
      if (has_ledger_[i] == 0) wanted.push_back(i);
    }
    if (!answer(wanted, settings, stopped)) return false;
    carry_over(scene_, settings, squares, cells_, has_ledger_, grid_);
    return true;
  }

  /// Every cell that has no ledger yet, and the counts of those that never get one.
  bool finish(const std::function<bool()>& stopped) {
    std::vector<std::size_t> wanted;
    wanted.reserve(grid_.spec.size());
    for (std::size_t i = 0; i < grid_.spec.size(); ++i) {
      if (has_ledger_[i] == 0) wanted.push_back(i);
    }
    return answer(wanted, task_.settings, stopped);
  }

  /// What was answered with other settings than the last frame's.
  void forget_ledgers() {
    std::fill(has_ledger_.begin(), has_ledger_.end(), std::uint8_t{0});
    grid_.cells_answered = grid_.cells_held_by_reflection = 0;
  }

 private:
  bool answer(const std::vector<std::size_t>& wanted, const LinkSettings& settings,
              const std::function<bool()>& stopped) {
    for (std::size_t begin = 0; begin < wanted.size(); begin += chunk) {
      if (stopped()) return false;
      const std::size_t count = std::min(chunk, wanted.size() - begin);
      const std::span part = std::span(wanted).subspan(begin, count);
      predict_cells(task_.caster, task_.footprints, settings, task_.options, part, grid_);
      for (const std::size_t i : part) has_ledger_[i] = 1;
    }
    return true;
  }

  void mark_buildings(const StreetLattice::Ground& ground) {
    std::vector<float>& sight = grid_.band("sight").values;
    for (std::size_t i = 0; i < grid_.spec.size(); ++i) {
      if (ground.foothold[i] != Foothold::in_building) continue;
      const auto cols = static_cast<std::size_t>(grid_.spec.cols);
      const ScenePoint place{
          grid_.spec.center_x_m(static_cast<int>(i % cols)) - scene_.frame.origin.x_m,
          grid_.spec.center_y_m(static_cast<int>(i / cols)) - scene_.frame.origin.y_m, 0.0};
      const bool in_reach =
          std::any_of(scene_.nodes.begin(), scene_.nodes.end(), [&](const Node& node) {
            return horizontal_distance_m(node.position, place) <= task_.options.radius_m;
          });
      if (in_reach) sight[i] = static_cast<float>(Sight::none);
    }
  }

  const MapTask& task_;
  const Scene& scene_;
  PredictionGrid grid_;
  std::vector<SeenCell> cells_;
  std::vector<std::uint8_t> has_ledger_;
};

}  // namespace

bool predict_coarse_to_fine(const MapTask& task, const std::function<bool(const MapFrame&)>& show,
                            const std::function<bool()>& stopped) {
  const double spacing_m = task.options.spacing_m;
  if (task.caster.scene().nodes.empty()) {
    return show({.stage = 1, .ledger_step_m = spacing_m, .final = true, .grid = PredictionGrid{}});
  }
  RefinedMap map(task);
  LinkSettings without_reflections = task.settings;
  without_reflections.mirrors = nullptr;
  int stage = 1;
  for (int side = map.first_side(); side > 1; side /= 2, ++stage) {
    const LinkSettings& settings = stage == 1 ? without_reflections : task.settings;
    if (!map.refine(side, settings, stopped)) return false;
    const MapFrame frame{.stage = stage, .ledger_step_m = side * spacing_m, .grid = map.grid()};
    if (!show(frame)) return false;
    if (stage == 1 && task.settings.mirrors) map.forget_ledgers();
  }
  if (!map.finish(stopped)) return false;
  return show({.stage = stage, .ledger_step_m = spacing_m, .final = true, .grid = map.grid()});
}

}  // namespace sim
