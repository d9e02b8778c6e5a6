// Azimuths of long paths against the geodesics of the installed PROJ.
#include <geodesic.h>
#include <gtest/gtest.h>

#include <cmath>

#include "sim/base/points.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

struct NodePair {
  const char* crs;
  double lon_deg, lat_deg;  ///< of the western node; the other stands 10 km east
};
class LongAzimuth : public testing::TestWithParam<NodePair> {};

TEST_P(LongAzimuth, IsThatOfTheGeodesicFiveKilometresAwayFromTheOrigin) {
  const NodePair& c = GetParam();
  geod_geodesic ellipsoid;
  geod_init(&ellipsoid, 6378137.0, 1.0 / 298.257223563);  // WGS 84
  double east_lat = 0.0, east_lon = 0.0;
  geod_direct(&ellipsoid, c.lat_deg, c.lon_deg, 90.0, 10000.0, &east_lat, &east_lon, nullptr);
  TempFolder folder;
  const auto node = [](const char* id, double lon, double lat) {
    return fmt::format("[[node]]\nid = \"{}\"\nlon = {:.9f}\nlat = {:.9f}\n[[node.sector]]\n", id,
                       lon, lat);
  };
  const ImportedSite site = import_site(read_site(folder.write(
      "site.toml", fmt::format("[site]\ncrs = \"{}\"\n", c.crs) + node("w", c.lon_deg, c.lat_deg) +
                       node("e", east_lon, east_lat))));
  const SceneFrame frame{.origin = site.middle,
                         .convergence = site.convergence,
                         .convergence_east_per_m = site.convergence_east_per_m,
                         .convergence_north_per_m = site.convergence_north_per_m};
  const CrsTransform to_map(Crs::wgs84(), site.crs);
  const auto scene_point = [&](double lon, double lat) {
    const Xy p = *to_map({lon, lat});
    return frame.scene_from_map({p.x, p.y, 0.0});
  };
  for (const double azimuth_deg : {0.0, 45.0, 90.0, 180.0, 225.0, 300.0}) {
    for (const auto& [lon, lat] : {std::pair{c.lon_deg, c.lat_deg}, {east_lon, east_lat}}) {
      double far_lat = 0.0, far_lon = 0.0;
      geod_direct(&ellipsoid, lat, lon, azimuth_deg, 5000.0, &far_lat, &far_lon, nullptr);
      const double got =
          frame.true_azimuth(scene_point(lon, lat), scene_point(far_lon, far_lat)).degrees();
      EXPECT_NEAR(std::remainder(got - azimuth_deg, 360.0), 0.0, 0.01) << azimuth_deg << " " << lon;
      const ScenePoint way = frame.direction(Angle::degrees(azimuth_deg), scene_point(lon, lat));
      const ScenePoint there = scene_point(far_lon, far_lat) - scene_point(lon, lat);
      EXPECT_NEAR(std::atan2(way.x_m * there.y_m - way.y_m * there.x_m, dot(way, there)), 0.0,
                  0.01 / 57.3);
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Places, LongAzimuth,
                         testing::Values(NodePair{"EPSG:32618", -73.9, 40.75},
                                         NodePair{"EPSG:32625", -30.2, 60.0},
                                         NodePair{"EPSG:32756", 151.2, -33.9},
                                         NodePair{"EPSG:32633", 17.9, 68.0}));

}  // namespace
}  // namespace sim
