// The bend of the Earth under long paths, in rays and in what comes out.
#include <gtest/gtest.h>

#include <cmath>

#include "sim/import/asset_tables.h"
#include "sim/loss/earth_bulge.h"
#include "sim/predict/prediction.h"
#include "tests/support/street.h"

namespace sim {
namespace {

/// Flat land as far as 9.5 km each way, or the same as a raster, in a standard atmosphere.
ImportedSite wide_site(double reach_m, bool raster) {
  ImportedSite site = test::isotropic_site(6.0);
  site.defaults = read_defaults();
  site.area_west_m = -reach_m;
  site.area_east_m = reach_m;
  if (raster) {
    const int cells = static_cast<int>(2.0 * reach_m / 100.0);
    site.ground.spec = {-reach_m, 500.0, 100.0, 100.0, cells, 10};
    site.ground.values.assign(site.ground.spec.size(), 50.0F);
    site.middle.z_m = 50.0;
  }
  return site;
}

struct Bulge {
  double half_km, bulge_m;
};
// k = 4/3, R = 6371 km: d1 d2 / (2 k R), computed; P.526.
constexpr Bulge bulges[] = {{1.0, 0.05886}, {2.5, 0.36788}};

TEST(Earth, RisesIntoARayByItsBulge) {
  for (const bool raster : {false, true}) {
    ImportReport report;
    const Scene scene = build_scene(wide_site(9500.0, raster), report);
    const RayCaster caster(scene);
    for (const Bulge& b : bulges) {
      for (const double shift_m : {0.0, 1500.0, -4000.0}) {  // wherever the path lies in the scene
        const auto over = [&](double x, double height) {
          return ScenePoint{x, 0.0, scene.ground.height_at(x, 0.0) + height};
        };
        const double from = shift_m - 1000.0 * b.half_km, to = shift_m + 1000.0 * b.half_km;
        // Plates of flat ground and cells of the raster bend by a millimetre or two at their edges;
        // the kernel's floats are that fine here.
        EXPECT_TRUE(caster.is_clear(over(from, b.bulge_m + 0.006), over(to, b.bulge_m + 0.006)))
            << b.half_km << " " << shift_m;
        EXPECT_FALSE(caster.is_clear(over(from, b.bulge_m - 0.006), over(to, b.bulge_m - 0.006)))
            << b.half_km << " " << shift_m;
        const PathProfile path = caster.profile(over(from, 0.01), over(to, 0.01), 0.0107);
        ASSERT_EQ(path.crossings.size(), 1U);
        EXPECT_NEAR(path.crossings[0].outline.above_m, b.bulge_m - 0.01, 0.003);
      }
    }
  }
}

TEST(Earth, SightIsLostAtTheRadioHorizons) {
  // sqrt(2 k R h): 13.034 km from 10 m and 5.048 km from 1.5 m (computed, k = 4/3, R = 6371 km).
  ImportReport report;
  const Scene scene = build_scene(wide_site(9500.0, false), report);
  const RayCaster caster(scene);
  const auto over = [&](double x, double height) {
    return ScenePoint{x, 0.0, scene.ground.height_at(x, 0.0) + height};
  };
  const double start = -9000.0, both = 13034.0 + 5048.0;
  EXPECT_TRUE(caster.is_clear(over(start, 10.0), over(start + both - 60.0, 1.5)));
  EXPECT_FALSE(caster.is_clear(over(start, 10.0), over(start + both + 60.0, 1.5)));
}

TEST(Earth, HeightsAndElevationsComeOutAsTheyWentIn) {
  for (const bool raster : {false, true}) {
    ImportedSite site = wide_site(9500.0, raster);
    BuildingRecord house = test::box_building("house", 4990, -10, 5010, 10, 12);
    site.buildings.push_back(house);
    ImportReport report;
    const Scene scene = build_scene(site, report);
    const double datum = raster ? 50.0 : 0.0;
    const auto point = receiver_point(scene, "p", {5000.0, 300.0, 0.0}, 1.5, {});
    ASSERT_TRUE(point);
    EXPECT_NEAR(point->elevation_m, datum, 0.001);
    EXPECT_NEAR(scene.frame.map_from_scene(point->receiver.position).z_m, datum + 1.5, 0.001);
    // r^2 / (2 k R) at 5 km, computed: 1.4715 m lower than at the origin.
    EXPECT_NEAR(scene.ground.height_at(5000.0, 0.0) - scene.ground.height_at(0.0, 0.0), -1.4715,
                0.001);
    const Obstacle& built = scene.obstacles[scene.outlines[0].obstacle];
    EXPECT_NEAR(built.top_m - built.base_m, 12.0, 1e-9);
    EXPECT_NEAR(built.base_m + 1.4715, scene.ground.height_at(0.0, 0.0), 0.01);
  }
}

TEST(Earth, ClearanceOverFlatLandIsLeastWhereItRises) {
  // 5 km between antennas 3 m up: 3 m less the bulge of 0.36788 m in the middle.
  const test::Street street(wide_site(9500.0, false));
  const auto over = [&](double x, double height) {
    return ScenePoint{x, 0.0, street.scene.ground.height_at(x, 0.0) + height};
  };
  const PathProfile path = street.caster.profile(over(-2500, 3.0), over(2500, 3.0), 0.0107);
  EXPECT_TRUE(path.crossings.empty());
  EXPECT_NEAR(path.clearance.clearance_m, 3.0 - 0.36788, 0.003);
}

TEST(Earth, MapAndSceneAreInverse) {
  SceneFrame frame;
  frame.effective_earth_radius_m = 4.0 / 3.0 * 6371e3;
  const MapPoint p{7000.0, -3000.0, 42.0};
  const MapPoint back = frame.map_from_scene(frame.scene_from_map(p));
  EXPECT_NEAR(back.z_m, p.z_m, 1e-12);
  EXPECT_EQ(back.x_m, p.x_m);
  // The bulge between two places of the scene, as in the formula book (P.526).
  const double a = frame.drop_m(-2000, 0), b = frame.drop_m(3000, 0);
  EXPECT_NEAR((3.0 * a + 2.0 * b) / 5.0 - frame.drop_m(0, 0),
              earth_bulge_m(2.0, 3.0, 4.0 / 3.0, 6371.0), 1e-9);
}

}  // namespace
}  // namespace sim
