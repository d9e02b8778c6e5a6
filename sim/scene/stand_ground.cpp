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

/// Plates that follow the Earth to a millimetre; their corners lie on it, so that they are never
/// above it.
void stand_flat(Standing& standing, ObstacleId id) {
  constexpr double plate_m = 200.0, bend_m = 0.001;
  const ImportedSite& imported = standing.imported;
  const MapPoint origin = imported.middle;
  const double west = imported.area_west_m - origin.x_m - flat_reach_m,
               south = imported.area_south_m - origin.y_m - flat_reach_m,
               east = imported.area_east_m - origin.x_m + flat_reach_m,
               north = imported.area_north_m - origin.y_m + flat_reach_m;
  const double across = std::hypot(east - west, north - south);
  const bool bends =
      across * across / (8.0 * standing.scene.frame.effective_earth_radius_m) > bend_m;
  const auto pieces = [&](double length) {
    return bends ? static_cast<std::uint32_t>(std::ceil(length / plate_m)) : 1U;
  };
  const std::uint32_t cols = pieces(east - west), rows = pieces(north - south);
  MeshPen pen = standing.pen(id);
  for (std::uint32_t row = 0; row <= rows; ++row) {
    for (std::uint32_t col = 0; col <= cols; ++col) {
      const FlatPoint p{west + (east - west) * col / cols, south + (north - south) * row / rows};
      pen.vertex({p.x_m, p.y_m, standing.ground_at(p)});
    }
  }
  for (std::uint32_t row = 0; row < rows; ++row) {
    for (std::uint32_t col = 0; col < cols; ++col) {
      const std::uint32_t sw = row * (cols + 1) + col, nw = sw + cols + 1;
      pen.triangle(sw, sw + 1, nw + 1);
      pen.triangle(sw, nw + 1, nw);
    }
  }
}

}  // namespace

void stand_ground(Standing& standing) {
  const ImportedSite& imported = standing.imported;
  Ground& ground = standing.scene.ground;
  const MapPoint origin = imported.middle;
  ground.effective_earth_radius_m = standing.scene.frame.effective_earth_radius_m;
  ground.flat_m = imported.site.ground.elevation_m - origin.z_m;
  if (!imported.ground.empty()) {
    ground.grid = imported.ground;
    ground.grid.spec.west_m -= origin.x_m;
    ground.grid.spec.north_m -= origin.y_m;
    const GridSpec& spec = ground.grid.spec;
    for (int row = 0; row < spec.rows; ++row) {
      for (int col = 0; col < spec.cols; ++col) {
        float& value = ground.grid.values[spec.index(col, row)];
        value = static_cast<float>(standing.height_of(
            static_cast<double>(value), {spec.center_x_m(col), spec.center_y_m(row)}));
      }
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
    stand_flat(standing, id);
  }
  standing.close(id);
}

}  // namespace sim
