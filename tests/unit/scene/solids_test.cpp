#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

Scene built(const ImportedSite& site) {
  ImportReport report;
  return build_scene(site, report);
}

/// Divergence theorem: sum over triangles of v0 . (v1 x v2) / 6.
double volume_m3(const Scene& scene, const Obstacle& thing) {
  const TriangleMesh& mesh = scene.mesh(thing.kind);
  double six = 0.0;
  for (std::uint32_t t = 0; t < thing.triangle_count; ++t) {
    const auto& i = mesh.triangles[thing.first_triangle + t];
    six += dot(mesh.vertices[i[0]], cross(mesh.vertices[i[1]], mesh.vertices[i[2]]));
  }
  return six / 6.0;
}

/// Every directed edge is met once in each direction.
bool is_watertight(const Scene& scene, const Obstacle& thing) {
  const TriangleMesh& mesh = scene.mesh(thing.kind);
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> edges;
  for (std::uint32_t t = 0; t < thing.triangle_count; ++t) {
    const auto& i = mesh.triangles[thing.first_triangle + t];
    for (std::size_t k = 0; k < 3; ++k) ++edges[{i[k], i[(k + 1) % 3]}];
  }
  for (const auto& [edge, count] : edges) {
    const auto back = edges.find({edge.second, edge.first});
    if (count != 1 || back == edges.end() || back->second != 1) return false;
  }
  return !edges.empty();
}

TEST(Solids, BoxHasItsVolumeWithTheSkirtBelowGround) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 0, 0, 20, 10, 15));
  const Scene scene = built(site);
  ASSERT_EQ(scene.outlines.size(), 1U);
  const Obstacle& b = scene.obstacles[scene.outlines[0].obstacle];
  EXPECT_NEAR(volume_m3(scene, b), 20.0 * 10.0 * 15.5, 1e-9);  // closed form; 0.5 m skirt
  EXPECT_TRUE(is_watertight(scene, b));
}

TEST(Solids, CourtyardIsNotBuilt) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 0, 0, 30, 30, 10));
  site.buildings[0].polygons[0].holes.push_back({{10, 10}, {10, 20}, {20, 20}, {20, 10}});
  const Scene scene = built(site);
  const Obstacle& b = scene.obstacles[scene.outlines[0].obstacle];
  EXPECT_NEAR(volume_m3(scene, b), (900.0 - 100.0) * 10.5, 1e-9);  // closed form
  EXPECT_TRUE(is_watertight(scene, b));
  const FootprintIndex index(scene);
  EXPECT_FALSE(index.building_at(15, 15).has_value());
  EXPECT_EQ(index.building_at(5, 15), scene.outlines[0].obstacle);
  EXPECT_FALSE(index.building_at(31, 15).has_value());
}

TEST(Solids, BuildingOpenBelowStartsAtItsMinHeight) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 0, 0, 10, 10, 8));
  site.buildings[0].min_height_m = 5.0;
  const Scene scene = built(site);
  EXPECT_NEAR(volume_m3(scene, scene.obstacles[scene.outlines[0].obstacle]), 300.0, 1e-9);
  EXPECT_FALSE(FootprintIndex(scene).building_at(5, 5).has_value());
}

TEST(Solids, EveryBuildingOfATownIsClosedWithItsPrismVolume) {
  const ImportedSite site = test::town(7, {.blocks = 6, .terrain = false});
  const Scene scene = built(site);
  ASSERT_EQ(scene.outlines.size(), 36U);
  for (std::size_t i = 0; i < scene.outlines.size(); ++i) {
    const Obstacle& b = scene.obstacles[scene.outlines[i].obstacle];
    const auto& shell = site.buildings[i].polygons[0].shell;
    double area = (shell[2].x - shell[0].x) * (shell[2].y - shell[0].y);
    if (!site.buildings[i].polygons[0].holes.empty()) {
      area -= (shell[2].x - shell[0].x - 16.0) * (shell[2].y - shell[0].y - 16.0);
    }
    EXPECT_TRUE(is_watertight(scene, b)) << b.id;
    EXPECT_NEAR(volume_m3(scene, b), area * (site.buildings[i].height_m + 0.5), 1e-6) << b.id;
  }
}

TEST(Solids, CrownTrianglesEncloseTheEllipsoid) {
  const Scene scene = built(test::town(11));
  const TriangleMesh& mesh = scene.mesh(ObstacleKind::crown);
  ASSERT_FALSE(mesh.triangles.empty());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const CrownShape& crown = *scene.obstacles[mesh.obstacle_of_triangle[t]].crown;
    const auto scaled = [&](std::uint32_t v) {
      const ScenePoint p = mesh.vertices[v] - crown.center;
      return ScenePoint{p.x_m / crown.radius_m, p.y_m / crown.radius_m,
                        p.z_m / crown.half_height_m};
    };
    const ScenePoint a = scaled(mesh.triangles[t][0]);
    const ScenePoint n = cross(scaled(mesh.triangles[t][1]) - a, scaled(mesh.triangles[t][2]) - a);
    // In scaled space the crown is the unit sphere: each face's plane stays outside it.
    EXPECT_GE(dot(n, a) / std::sqrt(dot(n, n)), 1.0);
  }
}

TEST(Solids, NodeInsideABuildingIsRefused) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", -100, -100, -80, -80, 15));
  ImportReport report;
  EXPECT_THROW(build_scene(site, report), InputError);
  site.nodes[0].height_agl_m = 16.0;  // above the roof
  EXPECT_NO_THROW(build_scene(site, report));
}

}  // namespace
}  // namespace sim
