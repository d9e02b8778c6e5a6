#include <algorithm>
#include <array>
#include <map>

#include "sim/scene/point_cloud.h"
#include "sim/scene/standing.h"

namespace sim {
namespace {

/// Each connected body of voxels becomes one obstacle of its outer faces.
void stand_voxels(Standing& standing, const CloudParts& parts, const PointCloudRecord& record) {
  std::map<CloudVoxel, int> body_of;
  for (const CloudVoxel& v : parts.voxels) body_of[v] = -1;
  int bodies = 0;
  for (auto& [start, body] : body_of) {
    if (body >= 0) continue;
    std::vector<CloudVoxel> queue{start};
    body = bodies;
    for (std::size_t k = 0; k < queue.size(); ++k) {
      for (int n = 0; n < 27; ++n) {
        const CloudVoxel next{queue[k].ix + n % 3 - 1, queue[k].iy + n / 3 % 3 - 1,
                              queue[k].iz + n / 9 - 1};
        const auto found = body_of.find(next);
        if (found == body_of.end() || found->second >= 0) continue;
        found->second = bodies;
        queue.push_back(next);
      }
    }
    const ObstacleId id = standing.open({.id = "scan/" + std::to_string(bodies + 1),
                                         .kind = ObstacleKind::object,
                                         .what = "scanned thing",
                                         .material = standing.material("concrete"),
                                         .source = record.source,
                                         .species_class = {},
                                         .height_source = "scan",
                                         .crown = {}});
    MeshPen pen = standing.pen(id);
    std::sort(queue.begin(), queue.end());
    const double s = parts.voxel_m;
    for (const CloudVoxel& v : queue) {
      for (int axis = 0; axis < 3; ++axis) {
        for (const int side : {0, 1}) {
          std::array<int, 3> n{v.ix, v.iy, v.iz};
          n[static_cast<std::size_t>(axis)] += side == 0 ? -1 : 1;
          if (body_of.contains({n[0], n[1], n[2]})) continue;
          std::array<std::uint32_t, 4> corner{};
          for (std::size_t c = 0; c < 4; ++c) {
            std::array<double, 3> at{v.ix * s, v.iy * s, v.iz * s};
            const auto a = static_cast<std::size_t>(axis);
            at[a] += side * s;
            at[(a + 1) % 3] += (c == 1 || c == 2) ? s : 0.0;
            at[(a + 2) % 3] += c >= 2 ? s : 0.0;
            corner[c] = pen.vertex({at[0], at[1], at[2]});
          }
          if (side == 0) std::swap(corner[1], corner[3]);
          pen.triangle(corner[0], corner[1], corner[2]);
          pen.triangle(corner[0], corner[2], corner[3]);
        }
      }
    }
    standing.close(id);
    ++bodies;
  }
}

}  // namespace

void stand_cloud(Standing& standing, const CloudParts& parts, const PointCloudRecord& record) {
  int number = 0;
  for (const CloudPole& pole : parts.poles) {
    const double ground = standing.ground_at({pole.x_m, pole.y_m});
    const ObstacleId id = standing.open({.id = "scan pole/" + std::to_string(++number),
                                         .kind = ObstacleKind::pole,
                                         .what = "pole",
                                         .material = standing.material("metal"),
                                         .base_m = ground,
                                         .top_m = ground + pole.height_m,
                                         .source = record.source,
                                         .species_class = {},
                                         .height_source = "scan",
                                         .crown = {}});
    add_cylinder(standing.pen(id), {pole.x_m, pole.y_m}, 0.5 * pole.diameter_m, ground - 0.3,
                 ground + pole.height_m, 12);
    standing.close(id);
  }
  number = 0;
  for (const CloudCrown& found : parts.crowns) {
    const double ground = standing.ground_at({found.x_m, found.y_m});
    const CrownShape crown{
        .center = {found.x_m, found.y_m, ground + 0.5 * (found.base_m + found.top_m)},
        .radius_m = found.radius_m,
        .half_height_m = 0.5 * (found.top_m - found.base_m)};
    const ObstacleId id = standing.open({.id = "scan tree/" + std::to_string(++number),
                                         .kind = ObstacleKind::crown,
                                         .what = "tree",
                                         .material = standing.material("wood"),
                                         .base_m = ground + found.base_m,
                                         .top_m = ground + found.top_m,
                                         .source = record.source,
                                         .species_class = "broadleaf",
                                         .height_source = "scan",
                                         .crown = crown});
    add_enclosing_ellipsoid(standing.pen(id), crown);
    standing.close(id);
  }
  stand_voxels(standing, parts, record);
}

}  // namespace sim
