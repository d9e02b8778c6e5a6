// Stands the imported records up as one scene.
#pragma once

#include "sim/import/records.h"
#include "sim/scene/scene.h"

namespace sim {

/// Builds the scene about a local origin at the middle of the area. Adds to `report` what was
/// repaired or dropped on the way (a roof that could not be triangulated, a pole outside the
/// ground). Throws InputError for a node inside a building or off the ground raster, a node
/// position at 0/0 or a scene wider than 16 km from its origin.
Scene build_scene(const ImportedSite& imported, ImportReport& report);

/// Which building's footprint a place lies in, courtyards excepted; nullopt when outside all.
/// Buildings whose min_height leaves the place open below do not count.
class FootprintIndex {
 public:
  explicit FootprintIndex(const Scene& scene);
  std::optional<ObstacleId> building_at(double x_m, double y_m) const;

 private:
  struct Box {
    double west_m, south_m, east_m, north_m;
    std::uint32_t outline, polygon;
  };
  const Scene* scene_;
  double cell_m_ = 25.0;
  double west_m_ = 0.0, south_m_ = 0.0;
  int cols_ = 0, rows_ = 0;
  std::vector<std::vector<Box>> cells_;
};

/// The nodes of the records as they stand in a scene of the other records: on its ground, each with
/// its own poles. Throws InputError as build_scene() does.
std::vector<Node> standing_nodes(const ImportedSite& imported, const Scene& scene,
                                 const FootprintIndex& footprints);

}  // namespace sim
