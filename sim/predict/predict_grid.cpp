#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <limits>
#include <numeric>

#include "sim/base/check.h"
#include "sim/base/parallel.h"
#include "sim/link/reflections.h"
#include "sim/predict/prediction.h"

namespace sim {
namespace {

// Bands of coverage.tif in the contract's order.
enum BandIndex {
  sight,
  best_sector,
  path_loss,
  rsrp,
  snr,
  downlink,
  uplink,
  p_hold,
  state,
  band_count
};
constexpr std::array<const char*, band_count> band_names{
    "sight",         "best_sector", "path_loss_db", "rsrp_dbm", "snr_db",
    "downlink_mbps", "uplink_mbps", "p_hold",       "state"};

/// The least grid of whole multiples of the spacing that holds every circle about a node.
GridSpec covering_grid(const Scene& scene, const PredictOptions& options) {
  double west = 1e300, south = 1e300, east = -1e300, north = -1e300;
  for (const Node& node : scene.nodes) {
    const MapPoint p = scene.frame.map_from_scene(node.position);
    west = std::min(west, p.x_m - options.radius_m);
    east = std::max(east, p.x_m + options.radius_m);
    south = std::min(south, p.y_m - options.radius_m);
    north = std::max(north, p.y_m + options.radius_m);
  }
  const double s = options.spacing_m;
  const double first_col = std::ceil(west / s), last_col = std::floor(east / s);
  const double first_row = std::ceil(south / s), last_row = std::floor(north / s);
  return {.west_m = (first_col - 0.5) * s,
          .north_m = (last_row + 0.5) * s,
          .cell_x_m = s,
          .cell_y_m = s,
          .cols = static_cast<int>(last_col - first_col) + 1,
          .rows = static_cast<int>(last_row - first_row) + 1};
}

}  // namespace

const Band& PredictionGrid::band(const std::string& name) const {
  const auto found =
      std::find_if(bands.begin(), bands.end(), [&](const Band& band) { return band.name == name; });
  SIM_CHECK(found != bands.end());
  return *found;
}

Band& PredictionGrid::band(const std::string& name) {
  const auto found =
      std::find_if(bands.begin(), bands.end(), [&](const Band& band) { return band.name == name; });
  SIM_CHECK(found != bands.end());
  return *found;
}

PredictionGrid unanswered_grid(const Scene& scene, const PredictOptions& options) {
  PredictionGrid grid;
  if (scene.nodes.empty()) return grid;
  grid.spec = covering_grid(scene, options);
  const std::size_t cells = grid.spec.size();
  for (const Node& node : scene.nodes) {
    for (const Sector& sector : node.sectors)
      grid.sector_names.push_back(node.id + "/" + sector.id);
  }
  constexpr float nan = std::numeric_limits<float>::quiet_NaN();
  for (const char* name : band_names) grid.bands.push_back({name, std::vector<float>(cells, nan)});
  grid.cause.assign(cells, static_cast<std::uint8_t>(Cause::none));
  grid.cause_obstacle.assign(cells, no_obstacle);
  grid.foliage.assign(cells, {});
  grid.ledger.assign(cells, {});
  return grid;
}

void predict_cells(const RayCaster& caster, const FootprintIndex& footprints,
                   const LinkSettings& settings, const PredictOptions& options,
                   std::span<const std::size_t> cells, PredictionGrid& grid) {
  const Scene& scene = caster.scene();
  std::vector<std::size_t> first_sector{0};
  for (const Node& node : scene.nodes)
    first_sector.push_back(first_sector.back() + node.sectors.size());
  std::atomic<std::size_t> answered{0}, off_ground{0}, in_buildings{0}, cells_done{0},
      held_by_reflection{0};

  const auto answer_cell = [&](std::size_t i) {
    const auto cols = static_cast<std::size_t>(grid.spec.cols);
    const int col = static_cast<int>(i % cols), row = static_cast<int>(i / cols);
    const auto put = [&](BandIndex band, double value) {
      grid.bands[band].values[i] = static_cast<float>(value);
    };
    const MapPoint place{grid.spec.center_x_m(col), grid.spec.center_y_m(row), 0.0};
    const ScenePoint level = scene.frame.scene_from_map(place);
    const bool in_reach =
        std::any_of(scene.nodes.begin(), scene.nodes.end(), [&](const Node& node) {
          return horizontal_distance_m(node.position, level) <= options.radius_m;
        });
    if (!in_reach) return;
    if (footprints.building_at(level.x_m, level.y_m)) {
      put(sight, static_cast<double>(Sight::none));
      ++in_buildings;
      return;
    }
    const auto point = receiver_point(scene, "", place, options.receiver_height_agl_m,
                                      scene.conditions.receiver_context);
    if (!point) {
      ++off_ground;
      return;
    }
    std::optional<LinkResult> best;
    for (LinkResult& link : point_links(caster, point->receiver, settings, options.radius_m)) {
      if (!best || link.rsrp > best->rsrp) best = std::move(link);
    }
    if (!best) return;  // a node without a sector
    ++answered;
    if (best->sight == Sight::nlos && best->state == LinkState::hold && served_by_walls(*best)) {
      ++held_by_reflection;
    }
    put(sight, static_cast<double>(best->sight));
    put(best_sector, static_cast<double>(first_sector[best->node] + best->sector + 1));
    put(path_loss, best->path_loss().value);
    put(rsrp, best->rsrp.value);
    put(snr, best->snr.value);
    put(downlink, best->downlink_mbps);
    put(uplink, best->uplink_mbps);
    put(p_hold, best->p_hold);
    put(state, static_cast<double>(best->state));
    grid.cause[i] = static_cast<std::uint8_t>(best->cause);
    grid.cause_obstacle[i] = best->cause_obstacle;
    grid.foliage[i] = {static_cast<float>(best->foliage_low.value),
                       static_cast<float>(best->sum(TermGroup::foliage).value),
                       static_cast<float>(best->foliage_high.value)};
    const auto sum = [&](TermGroup group) { return static_cast<float>(best->sum(group).value); };
    grid.ledger[i] = {.free_space_db = sum(TermGroup::free_space),
                      .diffraction_db = sum(TermGroup::diffraction),
                      .foliage_db = sum(TermGroup::foliage),
                      .penetration_db = sum(TermGroup::penetration),
                      .gas_rain_db = sum(TermGroup::gas_rain),
                      .pattern_db = static_cast<float>(best->pattern.value),
                      .reflection_gain_db = static_cast<float>(best->reflection_gain.value)};
  };
  constexpr std::size_t block = 16;
  parallel_blocks(cells.size(), block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) answer_cell(cells[k]);
    const std::size_t done = cells_done += end - begin;
    if (options.progress) options.progress(done, cells.size());
  });
  grid.cells_answered += answered;
  grid.cells_off_ground += off_ground;
  grid.cells_in_buildings += in_buildings;
  grid.cells_held_by_reflection += held_by_reflection;
}

PredictionGrid predict_grid(const RayCaster& caster, const LinkSettings& settings,
                            const PredictOptions& options) {
  PredictionGrid grid = unanswered_grid(caster.scene(), options);
  if (grid.spec.size() == 0) return grid;
  std::vector<std::size_t> cells(grid.spec.size());
  std::iota(cells.begin(), cells.end(), std::size_t{0});
  predict_cells(caster, FootprintIndex(caster.scene()), settings, options, cells, grid);
  return grid;
}

}  // namespace sim
