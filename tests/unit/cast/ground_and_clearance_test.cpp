// The ground as sampled and as met by rays; clearances against closed forms.
#include <gtest/gtest.h>

#include <cmath>

#include "sim/cast/ray_caster.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

constexpr double wavelength_m = 0.0107068735;  // 28 GHz

Scene built(const ImportedSite& site) {
  ImportReport report;
  return build_scene(site, report);
}

TEST(Ground, RaysMeetItAtTheSampledHeight) {
  const Scene scene = built(test::town(11, {.blocks = 2, .furniture = false}));
  const RayCaster caster(scene);
  std::uint64_t state = 4;
  const Transparent ground{.blocking = mask_of(ObstacleKind::ground), .ignored = {}};
  for (int i = 0; i < 2000; ++i) {
    const double x = 100.0 * (test::next_number(state) - 0.5),
                 y = 100.0 * (test::next_number(state) - 0.5);
    const double z = scene.ground.height_at(x, y);
    // 2 cm either way leaves the pulled-in end on its own side of the surface.
    EXPECT_TRUE(caster.is_clear({x, y, z + 30.0}, {x, y, z + 0.02}, ground));
    EXPECT_FALSE(caster.is_clear({x, y, z + 30.0}, {x, y, z - 0.02}, ground));
  }
}

TEST(Clearance, OverFlatGroundIsTheHeightNearestInZones) {
  const Scene scene = built(test::empty_site());
  const RayCaster caster(scene);
  const PathProfile path = caster.profile({-80, 0, 6}, {20, 0, 6}, wavelength_m);
  EXPECT_TRUE(path.crossings.empty());
  EXPECT_NEAR(path.clearance.clearance_m, 6.0, 1e-6);
  // First zone in the middle of 100 m at 28 GHz: 0.5174 m (P.526, exact form).
  EXPECT_NEAR(path.clearance.fresnel_radii, 6.0 / 0.5174, 0.01);
}

TEST(Clearance, BesideAWallIsTheGap) {
  ImportedSite site = test::empty_site();
  site.buildings.push_back(test::box_building("b", -5, 0.4, 5, 30, 20));
  const Scene scene = built(site);
  const RayCaster own(scene);
  const PathProfile path = own.profile({-50, 0, 6}, {50, 0, 6}, wavelength_m);
  EXPECT_NEAR(path.clearance.clearance_m, 0.4, 1e-6);
  EXPECT_NEAR(path.clearance.fresnel_radii, 0.4 / 0.5174, 0.01);
  EXPECT_EQ(scene.obstacles[path.clearance.nearest].id, "b");
}

TEST(Clearance, IsTheSameBothWays) {
  const Scene scene = built(test::town(7, {.blocks = 3}));
  const RayCaster caster(scene);
  const ImportedSite site = test::town(7, {.blocks = 3});
  std::uint64_t state = 9;
  int compared = 0;
  for (int i = 0; i < 400; ++i) {
    const Segment s = test::random_segment(site, state);
    const PathProfile there = caster.profile(s.a, s.b, wavelength_m);
    const PathProfile back = caster.profile(s.b, s.a, wavelength_m);
    ASSERT_EQ(there.crossings.size(), back.crossings.size()) << i;
    if (!std::isfinite(there.clearance.fresnel_radii)) continue;
    EXPECT_NEAR(there.clearance.fresnel_radii, back.clearance.fresnel_radii, 1e-6) << i;
    ++compared;
  }
  EXPECT_GT(compared, 100);
}

TEST(Clearance, InACourtyardThePathIsOutside) {
  ImportedSite site = test::empty_site();
  BuildingRecord ring = test::box_building("ring", -20, -20, 20, 20, 12);
  ring.polygons[0].holes.push_back({{-10, -10}, {-10, 10}, {10, 10}, {10, -10}});
  site.buildings.push_back(ring);
  const Scene scene = built(site);
  const RayCaster caster(scene);
  EXPECT_TRUE(caster.profile({-5, 0, 2}, {5, 0, 2}, wavelength_m).crossings.empty());
  const PathProfile out = caster.profile({0, 0, 2}, {50, 0, 2}, wavelength_m);
  ASSERT_EQ(out.crossings.size(), 1U);
  EXPECT_NEAR(out.crossings[0].enter_m, 10.0, 1e-6);
  EXPECT_NEAR(out.crossings[0].inside_m, 10.0, 1e-6);
}

}  // namespace
}  // namespace sim
