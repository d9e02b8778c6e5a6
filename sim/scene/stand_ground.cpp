#include <cmath>

#include "sim/scene/standing.h"

namespace sim {
namespace {

constexpr double flat_reach_m = 500.0;  // a flat ground goes on beyond the area

void stand_terrain(Standing& standing, ObstacleId id) {
  const HeightGrid& grid = standing.scene.ground.grid;
  const GridSpec& spec = grid.spec;
  MeshPen pen = standing.pen(id);
  TriangleMesh& mesh = standing.scene.meshes[0];
  mesh.vertices.reserve(spec.size());
  mesh.triangles.reserve(2 * spec.size());
  mesh.obstacle_of_triangle.reserve(2 * spec.size());
  for (int row = 0; row < spec.rows; ++row) {
    for (int col = 0; col < spec.cols; ++col) {
      const auto z = static_cast<double>(grid.values[spec.index(col, row)]);
      pen.vertex({spec.center_x_m(col), spec.center_y_m(row), std::isnan(z) ? 0.0 : z});
    }
  }
  const auto known = [&](std::size_t i) { return !std::isnan(grid.values[i]); };
  for (int row = 0; row + 1 < spec.rows; ++row) {
    for (int col = 0; col + 1 < spec.cols; ++col) {
      const std::size_t nw = spec.index(col, row), ne = spec.index(col + 1, row),
                        sw = spec.index(col, row + 1), se = spec.index(col + 1, row + 1);
      if (!known(nw) || !known(ne) || !known(sw) || !known(se)) continue;
      const auto v = [](std::size_t i) { return static_cast<std::uint32_t>(i); };
      pen.triangle(v(sw), v(se), v(ne));
      pen.triangle(v(sw), v(ne), v(nw));
    }
  }
}

}  // namespace

void stand_ground(Standing& standing) {
  const ImportedSite& imported = standing.imported;
  Ground& ground = standing.scene.ground;
  const MapPoint origin = imported.middle;
  ground.flat_m = imported.site.ground.elevation_m - origin.z_m;
  if (!imported.ground.empty()) {
    ground.grid = imported.ground;
    ground.grid.spec.west_m -= origin.x_m;
    ground.grid.spec.north_m -= origin.y_m;
    for (float& value : ground.grid.values) {
      value = static_cast<float>(static_cast<double>(value) - origin.z_m);
    }
  }
  const ObstacleId id = standing.open({.id = "ground",
                                       .kind = ObstacleKind::ground,
                                       .what = "ground",
                                       .material = standing.material("concrete"),
                                       .source = {imported.site.ground.file, "", -1},
                                       .species_class = {},
                                       .height_source = {},
                                       .crown = {}});
  if (!ground.grid.empty()) {
    stand_terrain(standing, id);
  } else {
    MeshPen pen = standing.pen(id);
    const double w = imported.area_west_m - origin.x_m - flat_reach_m,
                 s = imported.area_south_m - origin.y_m - flat_reach_m,
                 e = imported.area_east_m - origin.x_m + flat_reach_m,
                 n = imported.area_north_m - origin.y_m + flat_reach_m, z = ground.flat_m;
    const auto sw = pen.vertex({w, s, z}), se = pen.vertex({e, s, z}), ne = pen.vertex({e, n, z}),
               nw = pen.vertex({w, n, z});
    pen.triangle(sw, se, ne);
    pen.triangle(sw, ne, nw);
  }
  standing.close(id);
}

}  // namespace sim
