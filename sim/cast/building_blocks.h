// Buildings that stand wall to wall: a wave that goes round one goes round them all.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "sim/cast/upright_shapes.h"

namespace sim {

class BuildingBlocks {
 public:
  /// A corner that a string about the block may touch, in plan, and the heights at which it stands.
  struct Corner {
    double x_m, y_m, low_m, high_m;
    ObstacleId owner;
  };

  BuildingBlocks(const Scene& scene, const UprightShapes& shapes);

  static constexpr std::uint32_t no_block = std::numeric_limits<std::uint32_t>::max();
  /// Index of the block that a building belongs to; no_block for other things.
  std::uint32_t block_of(ObstacleId id) const { return block_of_[id]; }

  /// Of all corners of a block those that no higher buildings of it enclose.
  std::span<const Corner> corners(std::uint32_t block) const {
    return std::span(corners_).subspan(first_[block], first_[block + 1] - first_[block]);
  }

  /// Of these the first, that make the hull of all that stands on the ground: where they all count,
  /// no other corner can be touched.
  std::span<const Corner> outermost(std::uint32_t block) const {
    return corners(block).first(outermost_[block]);
  }

  /// Through a gap narrower than this no way leads.
  static constexpr double widest_gap_m = 0.5;

 private:
  std::vector<std::uint32_t> block_of_;  ///< by obstacle
  std::vector<std::size_t> first_;       ///< per block, into corners_; one more at the end
  std::vector<std::size_t> outermost_;   ///< per block, how many
  std::vector<Corner> corners_;
};

}  // namespace sim
