// Published points of geodesy in three dimensions and along the ground, by the installed PROJ, on
// which every conversion of this room rests.
#include <geodesic.h>
#include <gtest/gtest.h>
#include <proj.h>

#include <memory>
#include <numbers>

namespace sim {
namespace {

/// 53 48 33.820 N, 2 07 46.380 E, 73.0 m on WGS 84.
PJ_COORD example_place() {
  constexpr double degree = std::numbers::pi / 180.0;
  return proj_coord((2.0 + 7.0 / 60.0 + 46.380 / 3600.0) * degree,
                    (53.0 + 48.0 / 60.0 + 33.820 / 3600.0) * degree, 73.0, 0.0);
}

PJ_XYZ converted(const char* operation, PJ_COORD from) {
  const std::unique_ptr<PJ_CONTEXT, decltype(&proj_context_destroy)> context(proj_context_create(),
                                                                             proj_context_destroy);
  const std::unique_ptr<PJ, decltype(&proj_destroy)> conversion(
      proj_create(context.get(), operation), proj_destroy);
  EXPECT_NE(conversion, nullptr) << operation;
  return conversion ? proj_trans(conversion.get(), PJ_FWD, from).xyz : PJ_XYZ{};
}

TEST(Geodesy, EarthCenteredCoordinates) {
  // EPSG Guidance Note 7-2, method 9602 (values from memory; an independent computation gives the
  // same to 0.001 m).
  const PJ_XYZ place = converted("+proj=cart +ellps=WGS84", example_place());
  EXPECT_NEAR(place.x, 3771793.968, 0.001);
  EXPECT_NEAR(place.y, 140253.342, 0.001);
  EXPECT_NEAR(place.z, 5124304.349, 0.001);
}

TEST(Geodesy, EastNorthUp) {
  // EPSG Guidance Note 7-2, method 9837, seen from 55 N, 5 E, 200 m (values from memory; an
  // independent computation gives the same to 0.001 m).
  const PJ_XYZ seen = converted(
      "+proj=pipeline +step +proj=cart +ellps=WGS84 "
      "+step +proj=topocentric +ellps=WGS84 +lon_0=5 +lat_0=55 +h_0=200",
      example_place());
  EXPECT_NEAR(seen.x, -189013.869, 0.001);
  EXPECT_NEAR(seen.y, -128642.040, 0.001);
  EXPECT_NEAR(seen.z, -4220.171, 0.001);
}

struct Line {
  double length_m, azimuth_deg;
};
Line inverse(double radius_m, double flattening, double lat1, double lon1, double lat2,
             double lon2) {
  geod_geodesic ellipsoid;
  geod_init(&ellipsoid, radius_m, flattening);
  Line line{};
  geod_inverse(&ellipsoid, lat1, lon1, lat2, lon2, &line.length_m, &line.azimuth_deg, nullptr);
  return line;
}

TEST(Geodesy, LineAlongTheEllipsoid) {
  // Flinders Peak to Buninyong on GRS 80, an example of the Australian geodetic datum's manual
  // (values from memory; an independent Vincenty inverse gives 54972.27114 m, 306 52 05.373).
  const Line line =
      inverse(6378137.0, 1.0 / 298.257222101, -(37 + 57 / 60.0 + 3.72030 / 3600.0),
              144 + 25 / 60.0 + 29.52440 / 3600.0, -(37 + 39 / 60.0 + 10.15610 / 3600.0),
              143 + 55 / 60.0 + 35.38390 / 3600.0);
  EXPECT_NEAR(line.length_m, 54972.271, 0.0005);
  EXPECT_NEAR(line.azimuth_deg + 360.0, 306 + 52 / 60.0 + 5.37 / 3600.0, 0.005 / 3600.0);
}

TEST(Geodesy, DegreeOfTheMeanSphere) {
  // Haversine with R = 6371008.8 m from 0,0 to 1,0: computed, 0.001 m.
  EXPECT_NEAR(inverse(6371008.8, 0.0, 0.0, 0.0, 1.0, 0.0).length_m, 111195.080, 0.001);
}

}  // namespace
}  // namespace sim
