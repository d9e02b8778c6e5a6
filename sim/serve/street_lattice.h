// Where one may stand: the ground at the cell centres of every grid of one spacing, looked up once
// for all grids of a scene. Cell centres lie on multiples of the spacing in the site CRS, so that
// the grids about a node that moves share them.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <mutex>
#include <unordered_map>

#include "sim/predict/prediction.h"

namespace sim {

enum class Foothold : std::uint8_t { open, in_building, off_ground };

class StreetLattice {
 public:
  StreetLattice(const Scene& scene, const FootprintIndex& footprints, double spacing_m)
      : scene_(&scene), footprints_(&footprints), spacing_m_(spacing_m) {}

  /// By the index of the grid's cells. On all threads; from one thread at a time.
  struct Ground {
    std::vector<Foothold> foothold;
    std::vector<double> height_m;  ///< scene height of the ground; anything where it is not open
  };
  Ground under(const GridSpec& spec) const;

 private:
  static constexpr int side = 64;  // cells
  static constexpr std::size_t tile_cells = std::size_t{side} * side;
  static std::size_t cell_of(int col, int row) {
    return static_cast<std::size_t>(row) * side + static_cast<std::size_t>(col);
  }
  struct Tile {
    std::array<Foothold, tile_cells> foothold;
    std::array<double, tile_cells> height_m;
  };
  static std::uint64_t key_of(int tile_col, int tile_row) {
    return (std::uint64_t{static_cast<std::uint32_t>(tile_col)} << 32U) |
           static_cast<std::uint32_t>(tile_row);
  }
  void look_at(int tile_col, int tile_row, Tile& tile) const;

  const Scene* scene_;
  const FootprintIndex* footprints_;
  double spacing_m_;
  mutable std::mutex one_at_a_time_;
  mutable std::unordered_map<std::uint64_t, std::unique_ptr<Tile>> tiles_;
};

}  // namespace sim
