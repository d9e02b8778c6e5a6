#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/cast/ray_caster.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

constexpr double wavelength_m = 0.0107;  // 28 GHz

Scene built(const ImportedSite& site) {
  ImportReport report;
  return build_scene(site, report);
}

TEST(Crossings, BoxIsEnteredAndLeftAtItsWalls) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 10, -20, 30, 20, 15));
  const Scene scene = built(site);
  const RayCaster caster(scene);
  const PathProfile path = caster.profile({0, 0, 5}, {50, 0, 5}, wavelength_m);
  ASSERT_EQ(path.crossings.size(), 1U);
  const Crossing& c = path.crossings[0];
  EXPECT_NEAR(c.enter_m, 10.0, 1e-9);  // closed form, all six
  EXPECT_NEAR(c.exit_m, 30.0, 1e-9);
  EXPECT_NEAR(c.inside_m, 20.0, 1e-9);
  EXPECT_NEAR(c.outline.above_m, 10.0, 1e-9);
  EXPECT_NEAR(c.outline.left_m, 20.0, 1e-9);
  EXPECT_NEAR(c.outline.right_m, 20.0, 1e-9);
  EXPECT_FALSE(caster.is_clear({0, 0, 5}, {50, 0, 5}));
  EXPECT_TRUE(caster.is_clear({0, 0, 15.01}, {50, 0, 15.01}));
  EXPECT_FALSE(caster.is_clear({0, 0, 14.99}, {50, 0, 14.99}));
}

TEST(Crossings, SurfaceOneStandsOnDoesNotBlock) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 10, -20, 30, 20, 15));
  const Scene scene = built(site);
  const RayCaster caster(scene);
  EXPECT_TRUE(caster.is_clear({0, 0, 5}, {10, 0, 5}));
  EXPECT_TRUE(caster.is_clear({0, 0, 0}, {5, 0, 3}));
  EXPECT_FALSE(caster.is_clear({0, 0, 5}, {10.02, 0, 5}));
}

TEST(Crossings, OwnPoleIsTransparentToItsNodeOnly) {
  ImportedSite site = test::empty_site();
  site.poles.push_back({.id = "lamp",
                        .place = {-89.5, -90.0},
                        .height_m = 10.0,
                        .diameter_m = 0.3,
                        .source = {"town", "poles", 0}});
  const Scene scene = built(site);
  const RayCaster caster(scene);
  const Node& node = scene.nodes[0];
  ASSERT_EQ(node.own_poles.size(), 1U);
  const ScenePoint b{-50, -90, 1.5};
  EXPECT_FALSE(caster.is_clear(node.position, b));
  EXPECT_TRUE(caster.is_clear(node.position, b, {.ignored = node.own_poles}));
}

TEST(Crossings, ChordInACrownIsThatOfTheEllipsoid) {
  ImportedSite site = test::empty_site();
  site.trees.push_back({.id = "t",
                        .place = {0, 0},
                        .height_m = 10.0,
                        .crown_diameter_m = 6.0,
                        .species_class = "broadleaf",
                        .source = {"town", "trees", 0}});
  const Scene scene = built(site);
  const RayCaster caster(scene);
  for (const Obstacle& o : scene.obstacles) {
    if (!o.crown) continue;
    const double y = 1.0, z = o.crown->center.z_m + 0.5 * o.crown->half_height_m;
    const double r = o.crown->radius_m;
    // Closed form: half chord = r sqrt(1 - (y/r)^2 - (dz/h)^2).
    const double half = r * std::sqrt(1.0 - y * y / (r * r) - 0.25);
    const PathProfile path = caster.profile({-20, y, z}, {20, y, z}, wavelength_m,
                                            {.blocking = foliage_mask, .ignored = {}});
    ASSERT_EQ(path.crossings.size(), 1U);
    EXPECT_NEAR(path.crossings[0].inside_m, 2.0 * half, 1e-9);
    EXPECT_NEAR(path.crossings[0].enter_m, 20.0 - half, 1e-9);
    return;
  }
  FAIL() << "no crown";
}

TEST(Crossings, ChordOfAnySlantInARoundCrownIsThatOfTheSphere) {
  // 10 m high, 30 % trunk, 7 m wide: a sphere of 3.5 m about 6.5 m.
  ImportedSite site = test::empty_site();
  site.trees.push_back({.id = "t",
                        .place = {0, 0},
                        .height_m = 10.0,
                        .crown_diameter_m = 7.0,
                        .species_class = "broadleaf",
                        .source = {"town", "trees", 0}});
  const Scene scene = built(site);
  const RayCaster caster(scene);
  const ScenePoint center{0.0, 0.0, 6.5};
  std::uint64_t state = 9;
  const auto somewhere = [&](double reach) {
    const auto one = [&] { return reach * (2.0 * test::next_number(state) - 1.0); };
    const double x = one(), y = one();
    return ScenePoint{x, y, 10.0 + one()};
  };
  int through = 0, ends_inside = 0;
  for (int i = 0; i < 2000; ++i) {
    const ScenePoint a = somewhere(9.0), b = somewhere(i % 2 == 0 ? 9.0 : 4.0);
    const PathProfile path =
        caster.profile(a, b, wavelength_m, {.blocking = foliage_mask, .ignored = {}});
    // Closed form: half a chord is sqrt(r^2 - d^2) either side of the foot of the centre.
    const ScenePoint along = (1.0 / path.length_m) * (b - a);
    const double foot = dot(center - a, along);
    const double square = 3.5 * 3.5 - (dot(center - a, center - a) - foot * foot);
    const double half = std::sqrt(std::max(square, 0.0));
    const double from = std::clamp(foot - half, 0.0, path.length_m),
                 to = std::clamp(foot + half, 0.0, path.length_m);
    const double inside = path.crossings.empty() ? 0.0 : path.crossings[0].inside_m;
    EXPECT_NEAR(inside, to - from, 1e-6) << i;
    through += to > from ? 1 : 0;
    ends_inside += to > from && (from == 0.0 || to == path.length_m) ? 1 : 0;
  }
  EXPECT_GT(through, 100);
  EXPECT_GT(ends_inside, 30);
}

TEST(Crossings, RoofEdgeBelowTheRayIsTheClearance) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", 24, -20, 26, 20, 15));
  const Scene scene = built(site);
  const RayCaster caster(scene);
  const PathProfile path = caster.profile({0, 0, 15.2}, {50, 0, 15.2}, wavelength_m);
  EXPECT_TRUE(path.crossings.empty());
  EXPECT_NEAR(path.clearance.clearance_m, 0.2, 1e-6);  // closed form
  const PathProfile cut = caster.profile({0, 0, 14.5}, {50, 0, 14.5}, wavelength_m);
  EXPECT_NEAR(cut.clearance.clearance_m, -0.5, 1e-6);
}

TEST(Crossings, SameThingsBothWays) {
  const ImportedSite site = test::town(3);
  const Scene scene = built(site);
  const RayCaster caster(scene);
  std::uint64_t state = 5;
  for (int i = 0; i < 500; ++i) {
    const auto [a, b] = test::random_segment(site, state);
    const PathProfile there = caster.profile(a, b, wavelength_m);
    const PathProfile back = caster.profile(b, a, wavelength_m);
    ASSERT_EQ(there.crossings.size(), back.crossings.size()) << i;
    double inside = 0.0;
    for (const Crossing& c : there.crossings) inside += c.inside_m;
    for (const Crossing& c : back.crossings) inside -= c.inside_m;
    EXPECT_NEAR(inside, 0.0, 1e-6) << i;
  }
}

/// First and last place where the path, pulled in at its ends, meets a triangle of an obstacle, by
/// signed volumes; first after last where it meets none.
struct Met {
  double first_m = 1e300, last_m = -1e300;
};
Met met_by_triangles(const Scene& scene, const Segment& s, ObstacleId id) {
  const auto volume = [](ScenePoint p, ScenePoint q, ScenePoint r, ScenePoint t) {
    return dot(q - p, cross(r - p, t - p));
  };
  const double length = distance_m(s.a, s.b);
  const ScenePoint gap = (RayCaster::endpoint_gap_m / length) * (s.b - s.a);
  const ScenePoint a = s.a + gap, b = s.b - gap;
  const Obstacle& obstacle = scene.obstacles[id];
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  Met met;
  for (std::uint32_t t = 0; t < obstacle.triangle_count; ++t) {
    const auto& [i, j, k] = mesh.triangles[obstacle.first_triangle + t];
    const ScenePoint u = mesh.vertices[i], v = mesh.vertices[j], w = mesh.vertices[k];
    const double at_a = volume(a, u, v, w), at_b = volume(b, u, v, w);
    if ((at_a > 0.0) == (at_b > 0.0)) continue;
    const double e0 = volume(a, b, u, v), e1 = volume(a, b, v, w), e2 = volume(a, b, w, u);
    if (std::min({e0, e1, e2}) < 0.0 && std::max({e0, e1, e2}) > 0.0) continue;
    const double at_m = RayCaster::endpoint_gap_m +
                        at_a / (at_a - at_b) * (length - 2.0 * RayCaster::endpoint_gap_m);
    met.first_m = std::min(met.first_m, at_m);
    met.last_m = std::max(met.last_m, at_m);
  }
  return met;
}

TEST(Crossings, AreThoseOfEveryTriangleOnItsOwn) {
  int same = 0, differ = 0;
  for (const std::uint64_t seed : {1U, 2U}) {
    const ImportedSite site = test::town(seed, {.blocks = 4});
    const Scene scene = built(site);
    const RayCaster caster(scene);
    std::uint64_t state = 21;
    for (int n = 0; n < 300; ++n) {
      const Segment s = test::random_segment(site, state);
      const PathProfile path = caster.profile(s.a, s.b, wavelength_m);
      for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
        if (scene.obstacles[id].crown) continue;  // by their ellipsoids
        const Met met = met_by_triangles(scene, s, id);
        const auto crossing = std::find_if(path.crossings.begin(), path.crossings.end(),
                                           [&](const Crossing& c) { return c.obstacle == id; });
        if (crossing == path.crossings.end()) {
          differ += met.first_m <= met.last_m ? 1 : 0;
          continue;
        }
        // Where an end of the path is inside, that end counts.
        const bool begins = std::abs(crossing->enter_m - met.first_m) < 1e-6,
                   ends = std::abs(crossing->exit_m - met.last_m) < 1e-6;
        const bool from_end = crossing->enter_m == 0.0, to_end = crossing->exit_m == path.length_m;
        const bool agree = (begins || from_end) && (ends || to_end) && (begins || ends);
        ++(agree ? same : differ);
      }
    }
  }
  EXPECT_GT(same, 500);
  EXPECT_EQ(differ, 0);  // no ray of these grazes an edge
}

}  // namespace
}  // namespace sim
