// A scanned street taken apart: poles, crowns, and the rest as blocking voxels.
#pragma once

#include <vector>

#include "sim/import/records.h"
#include "sim/scene/scene.h"

namespace sim {

class Standing;

struct CloudPoint {
  ScenePoint place;
  double above_ground_m = 0.0;
};

struct CloudPole {
  double x_m = 0.0, y_m = 0.0, height_m = 0.0, diameter_m = 0.0;
};
struct CloudCrown {
  double x_m = 0.0, y_m = 0.0;
  double radius_m = 0.0, base_m = 0.0, top_m = 0.0;  ///< above ground
};
/// A cubic cell that holds points and blocks; corner = (ix, iy, iz) * voxel.
struct CloudVoxel {
  int ix = 0, iy = 0, iz = 0;
  bool operator==(const CloudVoxel&) const = default;
  auto operator<=>(const CloudVoxel&) const = default;
};

struct CloudParts {
  std::vector<CloudPole> poles;
  std::vector<CloudCrown> crowns;
  std::vector<CloudVoxel> voxels;  ///< sorted
  double voxel_m = 0.5;
};

/// Points near the ground are ground. Narrow columns that rise without a gap are poles; wide bodies
/// whose lower edge stands off the ground are crowns, split at the highest points; cells with
/// several of the remaining points are voxels. The measures are named in the source: common
/// practice, no source.
CloudParts segment_cloud(const std::vector<CloudPoint>& points, double voxel_m);

/// Adds the parts to the scene.
void stand_cloud(Standing& standing, const CloudParts& parts, const PointCloudRecord& record);

}  // namespace sim
