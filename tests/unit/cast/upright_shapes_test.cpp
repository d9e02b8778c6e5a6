#include "sim/cast/upright_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/cast/building_blocks.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

Scene built(const ImportedSite& site) {
  ImportReport report;
  return build_scene(site, report);
}

TEST(UprightShapes, BuildingsHaveAWallForEveryCornerOfTheirOutlines) {
  const Scene scene = built(test::town(5));
  const UprightShapes shapes(scene);
  ASSERT_FALSE(scene.outlines.empty());
  for (const BuildingOutline& outline : scene.outlines) {
    std::size_t corners = 0;
    for (const auto& rings : outline.polygons) {
      for (const auto& ring : rings) corners += ring.size();
    }
    EXPECT_EQ(shapes.of(outline.obstacle).x_m.size(), corners);
    EXPECT_EQ(shapes.of(outline.obstacle).high_m, scene.obstacles[outline.obstacle].top_m);
  }
}

/// How much one side of an outline obstructs, but for a factor of the path.
double measure(double offset_m, double at_m, double length_m) {
  return offset_m / std::sqrt(at_m * (length_m - at_m));
}

/// Whether all of it stands between the ends of the path, seen along it: beyond them the cuts of
/// triangles are no measure.
bool stands_between(const UprightShape& shape, const Segment& s) {
  const double dx = s.b.x_m - s.a.x_m, dy = s.b.y_m - s.a.y_m;
  for (std::size_t i = 0; i < shape.x_m.size(); ++i) {
    const double share =
        ((shape.x_m[i] - s.a.x_m) * dx + (shape.y_m[i] - s.a.y_m) * dy) / (dx * dx + dy * dy);
    if (share <= 0.002 || share >= 0.998) return false;
  }
  return true;
}

// The same things with one corner of their floors lifted by a tenth of a millimetre are no upright
// shapes: their triangles are cut one by one. Both ways must see the same outlines.
TEST(UprightShapes, WallsShowTheOutlineThatTrianglesShow) {
  const ImportedSite site = test::town(9);
  const Scene scene = built(site);
  Scene lifted = scene;
  for (const Obstacle& o : lifted.obstacles) {
    if (o.kind == ObstacleKind::ground || is_foliage(o.kind)) continue;
    TriangleMesh& mesh = lifted.meshes[static_cast<std::size_t>(o.kind)];
    for (std::uint32_t t = 0; t < o.triangle_count; ++t) {
      ScenePoint& corner = mesh.vertices[mesh.triangles[o.first_triangle + t][0]];
      if (corner.z_m < o.top_m - 0.5) {
        corner.z_m += 1e-4;
        break;
      }
    }
  }
  const UprightShapes shapes(scene), none(lifted);
  const RayCaster walls(scene), triangles(lifted);
  std::uint64_t state = 3;
  int compared = 0;
  for (int i = 0; i < 400; ++i) {
    const Segment s = test::random_segment(site, state);
    const PathProfile a = walls.profile(s.a, s.b, 0.0107), b = triangles.profile(s.a, s.b, 0.0107);
    if (a.crossings.size() != b.crossings.size()) continue;  // an edge grazed by the lift
    for (std::size_t k = 0; k < a.crossings.size(); ++k) {
      const ObstacleId id = a.crossings[k].obstacle;
      if (shapes.of(id).empty() || !stands_between(shapes.of(id), s)) continue;
      ASSERT_TRUE(none.of(id).empty());
      const Outline &p = a.crossings[k].outline, &q = b.crossings[k].outline;
      for (const auto& [at_p, off_p, at_q, off_q] :
           {std::array{p.above_at_m, p.above_m, q.above_at_m, q.above_m},
            std::array{p.below_at_m, p.below_m, q.below_at_m, q.below_m},
            std::array{p.left_at_m, p.left_m, q.left_at_m, q.left_m},
            std::array{p.right_at_m, p.right_m, q.right_at_m, q.right_m}}) {
        const double walls_say = measure(off_p, at_p, a.length_m);
        EXPECT_NEAR(walls_say, measure(off_q, at_q, b.length_m), 2e-3 * std::abs(walls_say) + 1e-4)
            << scene.obstacles[id].id << " on path " << i;
      }
      ++compared;
    }
  }
  EXPECT_GT(compared, 300);
}

ImportedSite row_of_boxes(double gap_m, double second_height_m) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("a", -20, -5, 0, 5, 12));
  site.buildings.push_back(test::box_building("b", gap_m, -5, 20, 5, second_height_m));
  return site;
}

TEST(BuildingBlocks, NarrowGapsJoinAndWiderOnesPart) {
  for (const double gap_m : {0.0, 0.3, 0.8}) {
    const Scene scene = built(row_of_boxes(gap_m, 12));
    const UprightShapes shapes(scene);
    const BuildingBlocks blocks(scene, shapes);
    const ObstacleId a = scene.outlines[0].obstacle, b = scene.outlines[1].obstacle;
    EXPECT_EQ(blocks.block_of(a) == blocks.block_of(b), gap_m < BuildingBlocks::widest_gap_m);
    EXPECT_EQ(blocks.block_of(0), BuildingBlocks::no_block);  // the ground
  }
}

TEST(BuildingBlocks, OnlyCornersThatAStringMayTouchAreKept) {
  for (const double second_height_m : {12.0, 6.0}) {
    const Scene scene = built(row_of_boxes(0.0, second_height_m));
    const UprightShapes shapes(scene);
    const BuildingBlocks blocks(scene, shapes);
    const auto corners = blocks.corners(blocks.block_of(scene.outlines[0].obstacle));
    // A row of equal height is one box; over a lower neighbour the higher house has all its own.
    EXPECT_EQ(corners.size(), second_height_m == 12.0 ? 4U : 6U);
    for (const auto& c : corners) EXPECT_NEAR(std::abs(c.y_m), 5.0, 1e-9);
  }
}

}  // namespace
}  // namespace sim
