// Which faces of a scene mirror.
#include "sim/cast/reflecting_faces.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

struct Counted {
  int walls = 0, level = 0, ground = 0;
};

Counted count(const ImportedSite& site) {
  ImportReport report;
  const Scene scene = build_scene(site, report);
  Counted counted;
  const ReflectingFaces faces(scene);
  for (const ReflectingFace& face : faces.all()) {
    if (face.kind == ObstacleKind::ground) {
      ++counted.ground;
    } else {
      ++(face.is_upright() ? counted.walls : counted.level);
    }
    // (u, v, normal) is an orthonormal, right-handed frame.
    EXPECT_LT(distance_m(cross(face.u, face.v), face.normal), 1e-12);
    EXPECT_NEAR(face.u.z_m, 0.0, 1e-12);
  }
  return counted;
}

TEST(ReflectingFaces, AHouseHasWallsAndARoofAndStandsOnOneGround) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("house", 0, 0, 20, 10, 9));
  const Counted counted = count(site);
  EXPECT_EQ(counted.walls, 4);
  EXPECT_EQ(counted.level, 1);  // its underside lies in the ground
  EXPECT_EQ(counted.ground, 1);
}

TEST(ReflectingFaces, ACourtyardHasWallsToo) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("house", 0, 0, 40, 40, 9));
  site.buildings[0].polygons[0].holes.push_back({{10, 10}, {10, 30}, {30, 30}, {30, 10}});
  EXPECT_EQ(count(site).walls, 8);
}

TEST(ReflectingFaces, WhatIsSmallOrHillyMirrorsNothing) {
  ImportedSite site = test::town(5, {.blocks = 2});
  const Counted counted = count(site);
  EXPECT_EQ(counted.ground, 0);
  ImportedSite narrow = test::empty_site();
  narrow.buildings.push_back(test::box_building("buttress", 0, 0, 0.4, 0.4, 9));
  EXPECT_EQ(count(narrow).walls + count(narrow).level, 0);
}

TEST(ReflectingFaces, AMirroredPointLiesAsFarBehind) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("house", 0, 0, 20, 10, 9));
  ImportReport report;
  const Scene scene = build_scene(site, report);
  const ReflectingFaces faces(scene);
  const ScenePoint p{-7.0, 31.0, 2.0};
  for (const ReflectingFace& face : faces.all()) {
    const ScenePoint image = face.mirrored(p);
    EXPECT_NEAR(face.height_over_m(image), -face.height_over_m(p), 1e-12);
    EXPECT_LT(distance_m(face.mirrored(image), p), 1e-12);
    const FlatPoint foot = face.in_plane(p);
    EXPECT_LT(distance_m(face.in_space(foot), 0.5 * (p + image)), 1e-12);
  }
}

}  // namespace
}  // namespace sim
