#include "sim/serve/street_lattice.h"

#include <cmath>

#include "sim/base/parallel.h"

namespace sim {
namespace {

int floor_div(int a, int b) { return a / b - (a % b < 0 ? 1 : 0); }

}  // namespace

void StreetLattice::look_at(int tile_col, int tile_row, Tile& tile) const {
  for (int row = 0; row < side; ++row) {
    for (int col = 0; col < side; ++col) {
      const std::size_t i = cell_of(col, row);
      const ScenePoint p = scene_->frame.scene_from_map(
          {(tile_col * side + col) * spacing_m_, (tile_row * side + row) * spacing_m_, 0.0});
      tile.height_m[i] = scene_->ground.height_at(p.x_m, p.y_m);
      tile.foothold[i] = footprints_->building_at(p.x_m, p.y_m) ? Foothold::in_building
                         : std::isnan(tile.height_m[i])         ? Foothold::off_ground
                                                                : Foothold::open;
    }
  }
}

StreetLattice::Ground StreetLattice::under(const GridSpec& spec) const {
  // Columns and rows of the lattice: the multiples of the spacing that the centres are.
  const int west = static_cast<int>(std::lround(spec.center_x_m(0) / spacing_m_));
  const int north = static_cast<int>(std::lround(spec.center_y_m(0) / spacing_m_));
  const int south = north - (spec.rows - 1), east = west + (spec.cols - 1);
  const std::lock_guard lock(one_at_a_time_);
  std::vector<std::pair<int, int>> wanted;
  for (int r = floor_div(south, side); r <= floor_div(north, side); ++r) {
    for (int c = floor_div(west, side); c <= floor_div(east, side); ++c) {
      if (tiles_.try_emplace(key_of(c, r)).second) wanted.emplace_back(c, r);
    }
  }
  std::vector<std::unique_ptr<Tile>> fresh(wanted.size());
  parallel_blocks(wanted.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      fresh[i] = std::make_unique<Tile>();
      look_at(wanted[i].first, wanted[i].second, *fresh[i]);
    }
  });
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    tiles_[key_of(wanted[i].first, wanted[i].second)] = std::move(fresh[i]);
  }
  Ground ground{std::vector<Foothold>(spec.size()), std::vector<double>(spec.size())};
  const auto rows = static_cast<std::size_t>(spec.rows);
  constexpr std::size_t block = 32;
  parallel_blocks(rows, block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row) {
      const int y = north - static_cast<int>(row), tile_row = floor_div(y, side);
      for (int x = west; x <= east;) {
        const int tile_col = floor_div(x, side);
        const Tile& tile = *tiles_.at(key_of(tile_col, tile_row));
        const int from = x - tile_col * side, count = std::min(side - from, east - x + 1);
        const std::size_t source = cell_of(from, y - tile_row * side);
        const std::size_t target = spec.index(x - west, static_cast<int>(row));
        for (std::size_t k = 0; k < static_cast<std::size_t>(count); ++k) {
          ground.foothold[target + k] = tile.foothold[source + k];
          ground.height_m[target + k] = tile.height_m[source + k];
        }
        x += count;
      }
    }
  });
  return ground;
}

}  // namespace sim
