// How free the direct path is: distance to the nearest opaque surface, by the measure of the
// Fresnel zone.
#pragma once

#include <vector>

#include "sim/cast/ray_caster.h"

namespace sim {

/// Opaque triangles other than the ground, found by plan cell.
class NearbySurfaces {
 public:
  explicit NearbySurfaces(const Scene& scene);

  /// Of a path whose crossings are known. Blocked: minus the least of how far the deciding thing
  /// reaches above, left and right. Free: distance to the surface that is nearest in first-zone
  /// radii, searched to `corridor_radii` of them; the ground by its height under the path.
  Clearance clearance(const PathProfile& path, double wavelength_m,
                      const Transparent& through) const;

  /// Surfaces farther than this many first-zone radii do not disturb the wave.
  static constexpr double corridor_radii = 2.0;

 private:
  struct Surface {
    ObstacleKind kind;
    std::uint32_t triangle;
  };
  void consider(const PathProfile& path, double wavelength_m, const Surface& surface,
                Clearance& best) const;

  std::size_t cell_index(int col, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(cols_) +
           static_cast<std::size_t>(col);
  }

  const Scene* scene_;
  double west_m_ = 0.0, south_m_ = 0.0;
  int cols_ = 0, rows_ = 0;
  std::vector<std::uint32_t> first_;  ///< per cell, into surfaces_; one more at the end
  std::vector<Surface> surfaces_;
};

}  // namespace sim
