#include "sim/scene/standing.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/check.h"

namespace sim {

std::string_view to_string(ObstacleKind kind) {
  constexpr std::array<std::string_view, obstacle_kind_count> words{
      "ground", "building", "pole", "trunk", "crown", "canopy", "vehicle", "object"};
  return words[static_cast<std::size_t>(kind)];
}

Standing::Standing(const ImportedSite& imported_site, Scene& scene_being_built,
                   ImportReport& import_report)
    : imported(imported_site), scene(scene_being_built), report(import_report) {}

FlatRings Standing::flat(const MapPolygon& polygon) const {
  FlatRings rings(1 + polygon.holes.size());
  for (const Xy p : polygon.shell) rings[0].push_back(flat(p));
  for (std::size_t h = 0; h < polygon.holes.size(); ++h) {
    for (const Xy p : polygon.holes[h]) rings[h + 1].push_back(flat(p));
  }
  return rings;
}

namespace {

/// Of flat ground, which only bends with the Earth: the corners tell.
Standing::GroundUnder flat_ground_under(const Ground& ground, const FlatRings& rings) {
  Standing::GroundUnder under{1e300, -1e300, 0.0};
  std::size_t count = 0;
  for (const auto& ring : rings) {
    for (const FlatPoint p : ring) {
      const double z = ground.height_at(p.x_m, p.y_m);
      under.lowest_m = std::min(under.lowest_m, z);
      under.highest_m = std::max(under.highest_m, z);
      under.mean_m += z;
      ++count;
    }
  }
  if (count == 0) return {ground.flat_m, ground.flat_m, ground.flat_m};
  under.mean_m /= static_cast<double>(count);
  return under;
}

}  // namespace

Standing::GroundUnder Standing::ground_under(const FlatRings& rings) const {
  if (scene.ground.grid.empty()) return flat_ground_under(scene.ground, rings);
  const GridSpec& spec = scene.ground.grid.spec;
  const double step = std::min(spec.cell_x_m, spec.cell_y_m);
  GroundUnder under{1e300, -1e300, 0.0};
  std::size_t count = 0;
  const auto look = [&](FlatPoint p) {
    const double z = ground_at(p);
    if (std::isnan(z)) return;
    under.lowest_m = std::min(under.lowest_m, z);
    under.highest_m = std::max(under.highest_m, z);
    under.mean_m += z;
    ++count;
  };
  FlatPoint low{1e300, 1e300}, high{-1e300, -1e300};
  for (const auto& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const FlatPoint a = ring[i], b = ring[(i + 1) % ring.size()];
      const int pieces =
          std::max(1, static_cast<int>(std::hypot(b.x_m - a.x_m, b.y_m - a.y_m) / step));
      for (int k = 0; k < pieces; ++k) {
        const double t = static_cast<double>(k) / pieces;
        look({a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)});
      }
      low = {std::min(low.x_m, a.x_m), std::min(low.y_m, a.y_m)};
      high = {std::max(high.x_m, a.x_m), std::max(high.y_m, a.y_m)};
    }
  }
  MapPolygon polygon;
  if (!rings.empty()) {
    for (const FlatPoint p : rings[0]) polygon.shell.push_back({p.x_m, p.y_m});
  }
  // Inner points: the centres of the raster, where the terrain has its corners.
  const int c0 = static_cast<int>(std::floor((low.x_m - spec.west_m) / spec.cell_x_m));
  const int c1 = static_cast<int>(std::ceil((high.x_m - spec.west_m) / spec.cell_x_m));
  const int r0 = static_cast<int>(std::floor((spec.north_m - high.y_m) / spec.cell_y_m));
  const int r1 = static_cast<int>(std::ceil((spec.north_m - low.y_m) / spec.cell_y_m));
  for (int row = std::max(r0, 0); row <= std::min(r1, spec.rows - 1); ++row) {
    for (int col = std::max(c0, 0); col <= std::min(c1, spec.cols - 1); ++col) {
      const Xy p{spec.center_x_m(col), spec.center_y_m(row)};
      if (contains(polygon, p)) look({p.x, p.y});
    }
  }
  if (count == 0) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    return {nan, nan, nan};
  }
  under.mean_m /= static_cast<double>(count);
  return under;
}

MaterialId Standing::material(const std::string& name) const {
  for (std::size_t i = 0; i < scene.materials.size(); ++i) {
    if (scene.materials[i].name == name) return static_cast<MaterialId>(i);
  }
  return 0;
}

ObstacleId Standing::open(Obstacle obstacle) {
  const auto& mesh = scene.meshes[static_cast<std::size_t>(obstacle.kind)];
  obstacle.first_triangle = static_cast<std::uint32_t>(mesh.triangles.size());
  scene.obstacles.push_back(std::move(obstacle));
  return static_cast<ObstacleId>(scene.obstacles.size() - 1);
}

MeshPen Standing::pen(ObstacleId id) {
  return {scene.meshes[static_cast<std::size_t>(scene.obstacles[id].kind)], id};
}

void Standing::close(ObstacleId id) {
  Obstacle& obstacle = scene.obstacles[id];
  const TriangleMesh& mesh = scene.meshes[static_cast<std::size_t>(obstacle.kind)];
  obstacle.triangle_count =
      static_cast<std::uint32_t>(mesh.triangles.size()) - obstacle.first_triangle;
  double low = 1e300, high = -1e300;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    for (const std::uint32_t v : mesh.triangles[obstacle.first_triangle + t]) {
      low = std::min(low, mesh.vertices[v].z_m);
      high = std::max(high, mesh.vertices[v].z_m);
    }
  }
  if (obstacle.base_m == 0.0 && obstacle.top_m == 0.0) {
    obstacle.base_m = low;
    obstacle.top_m = high;
  }
}

void Standing::drop(const SourceRef& where, const std::string& code, const std::string& why) {
  report.issues.push_back({Severity::dropped, where, code, why});
  for (LayerCount& layer : report.layers) {
    if (layer.path == where.path && layer.used > 0 && layer.what != "ground") {
      --layer.used;
      ++layer.dropped;
      return;
    }
  }
}

}  // namespace sim
