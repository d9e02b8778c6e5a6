#include "sim/gis/crs.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

Crs crs(const std::string& text) { return Crs::parse(text, {"site.toml", "[site]", -1}); }

struct CheckPoint {
  const char* source;
  const char* geographic;
  const char* projected;
  Xy degrees, metres;
  double tolerance_m;
};
void PrintTo(const CheckPoint& point, std::ostream* out) { *out << point.source; }

class PublishedPoint : public testing::TestWithParam<CheckPoint> {};

TEST_P(PublishedPoint, IsReproducedThereAndBack) {
  const CheckPoint& p = GetParam();
  const Crs geographic = crs(p.geographic), projected = crs(p.projected);
  const auto metres = CrsTransform(geographic, projected)(p.degrees);
  ASSERT_TRUE(metres) << p.source;
  EXPECT_NEAR(metres->x, p.metres.x, p.tolerance_m) << p.source;
  EXPECT_NEAR(metres->y, p.metres.y, p.tolerance_m) << p.source;
  const auto degrees = CrsTransform(projected, geographic)(*metres);
  ASSERT_TRUE(degrees) << p.source;
  EXPECT_NEAR(degrees->x, p.degrees.x, 1e-9) << p.source;
  EXPECT_NEAR(degrees->y, p.degrees.y, 1e-9) << p.source;
}

INSTANTIATE_TEST_SUITE_P(
    Geodesy, PublishedPoint,
    testing::Values(
        CheckPoint{"EPSG Guidance Note 7-2, Transverse Mercator example (British National Grid)",
                   "+proj=longlat +ellps=airy +no_defs",
                   "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 "
                   "+ellps=airy +units=m +no_defs",
                   {0.5, 50.5},
                   {577274.99, 69740.50},
                   0.02},
        CheckPoint{"Snyder, USGS Professional Paper 1395, numerical example of the ellipsoidal "
                   "Transverse Mercator (value from memory)",
                   "+proj=longlat +ellps=clrk66 +no_defs",
                   "+proj=tmerc +lat_0=0 +lon_0=-75 +k=0.9996 +x_0=0 +y_0=0 +ellps=clrk66 "
                   "+units=m +no_defs",
                   {-73.5, 40.5},
                   {127106.5, 4484124.4},
                   0.05},
        CheckPoint{"closed form: the equator on the central meridian is (500000, 0) by definition",
                   "EPSG:4326",
                   "EPSG:32631",
                   {3.0, 0.0},
                   {500000.0, 0.0},
                   1e-3},
        CheckPoint{"independent computation, Krueger series on WGS 84, UTM 18N",
                   "EPSG:4326",
                   "EPSG:32618",
                   {-73.9855, 40.7580},
                   {585632.974, 4512388.313},
                   1e-3},
        CheckPoint{"independent computation, Krueger series on WGS 84, UTM 12N",
                   "EPSG:4326",
                   "EPSG:32612",
                   {-112.0740, 33.4484},
                   {400179.648, 3701514.106},
                   1e-3},
        CheckPoint{"independent computation, Krueger series on WGS 84, UTM 56S",
                   "EPSG:4326",
                   "EPSG:32756",
                   {151.2153, -33.8568},
                   {334900.570, 6252288.753},
                   1e-3}));

// Zone numbers: NGA.SIG.0012 (UTM), zone = floor((longitude + 180) / 6) + 1; EPSG codes 326zz
// north, 327zz south.
TEST(UtmZone, IsTheSixDegreeStripOfThePlace) {
  EXPECT_EQ(Crs::utm_for(-73.98, 40.75).epsg(), "EPSG:32618");
  EXPECT_EQ(Crs::utm_for(-112.07, 33.45).epsg(), "EPSG:32612");
  EXPECT_EQ(Crs::utm_for(151.2, -33.9).epsg(), "EPSG:32756");
  EXPECT_EQ(Crs::utm_for(5.999, 43.0).epsg(), "EPSG:32631");
  EXPECT_EQ(Crs::utm_for(6.0, 43.0).epsg(), "EPSG:32632");
  EXPECT_EQ(Crs::utm_for(-180.0, 10.0).epsg(), "EPSG:32601");
  EXPECT_EQ(Crs::utm_for(180.0, 10.0).epsg(), "EPSG:32601");
  EXPECT_EQ(Crs::utm_for(179.9, 10.0).epsg(), "EPSG:32660");
}

struct NorthCase {
  const char* code;
  double lon_deg, lat_deg, central_deg;
};
class Convergence : public testing::TestWithParam<NorthCase> {};

// Closed form on the sphere, gamma = atan(tan(dlon) sin(lat)); Snyder 1395, eq. from memory. The
// ellipsoid adds gamma dlon^2 cos^2(lat) e'^2, under 3e-5 degrees within a UTM zone.
TEST_P(Convergence, FollowsTheClosedFormOfTransverseMercator) {
  const NorthCase& c = GetParam();
  const Crs map = crs(c.code);
  const auto place = CrsTransform(Crs::wgs84(), map)({c.lon_deg, c.lat_deg});
  ASSERT_TRUE(place);
  const Angle dlon = Angle::degrees(c.lon_deg - c.central_deg);
  const double expected_deg =
      Angle::radians(
          std::atan(std::tan(dlon.radians()) * std::sin(Angle::degrees(c.lat_deg).radians())))
          .degrees();
  EXPECT_NEAR(grid_convergence(map, *place).degrees(), expected_deg, 1e-4);
}

INSTANTIATE_TEST_SUITE_P(Zones, Convergence,
                         testing::Values(NorthCase{"EPSG:32618", -73.9855, 40.758, -75.0},
                                         NorthCase{"EPSG:32618", -77.5, 40.758, -75.0},
                                         NorthCase{"EPSG:32756", 151.2153, -33.8568, 153.0},
                                         NorthCase{"EPSG:32756", 155.5, -33.8568, 153.0},
                                         NorthCase{"EPSG:32631", 3.0, 52.0, 3.0}));

TEST(ConvergenceSign, GridNorthLiesEastOfTrueNorthInTheNorthEastQuarterOfAZone) {
  // Meridians lean towards the central one as they go to the pole.
  const Crs map = crs("EPSG:32618");
  const Xy place = *CrsTransform(Crs::wgs84(), map)({-73.0, 40.0});
  const Xy further = *CrsTransform(Crs::wgs84(), map)({-73.0, 40.01});
  EXPECT_LT(further.x, place.x);
  EXPECT_GT(grid_convergence(map, place).degrees(), 0.0);
}

TEST(CrsTransform, RefusesPlacesWithSwappedAxes) {
  const CrsTransform to_map(Crs::wgs84(), crs("EPSG:32618"));
  EXPECT_TRUE(to_map({-74.0, 40.7}));
  EXPECT_FALSE(to_map({40.7, -74.0}));
}

TEST(CrsTransform, RefusesWhatIsNotFinite) {
  const CrsTransform to_map(Crs::wgs84(), crs("EPSG:32618"));
  EXPECT_FALSE(to_map({std::nan(""), 40.7}));
  EXPECT_FALSE(to_map({-74.0, std::numeric_limits<double>::infinity()}));
}

TEST(CrsTransform, KeepsXAsEastingWhateverTheAuthoritysAxisOrder) {
  // EPSG defines 4326 as latitude first, and 3007 as northing first.
  const auto place = CrsTransform(Crs::wgs84(), crs("EPSG:3007"))({12.0, 57.7});
  ASSERT_TRUE(place);
  EXPECT_NEAR(place->x, 150000.0, 0.5);  // EPSG:3007, false easting on its central meridian
}

TEST(Crs, SaysWhatItIs) {
  const Crs utm = crs("EPSG:32618");
  EXPECT_EQ(utm.epsg(), "EPSG:32618");
  EXPECT_TRUE(utm.is_projected());
  EXPECT_FALSE(utm.is_geographic());
  EXPECT_DOUBLE_EQ(utm.metres_per_unit(), 1.0);
  EXPECT_TRUE(Crs::wgs84().is_geographic());
  EXPECT_TRUE(utm.same_as(Crs::utm_for(-74.0, 40.7)));
  EXPECT_FALSE(utm.same_as(crs("EPSG:32617")));
}

// US survey foot = 1200/3937 m: Mendenhall order of 1893; EPSG unit 9003.
TEST(Crs, KnowsFeet) { EXPECT_NEAR(crs("EPSG:2263").metres_per_unit(), 1200.0 / 3937.0, 1e-12); }

// EPSG:5703 is "NAVD88 height".
TEST(Crs, NamesTheVerticalDatumOfACompound) {
  EXPECT_EQ(crs("EPSG:32618+5703").vertical_datum(), "NAVD88 height");
  EXPECT_EQ(crs("EPSG:32618").vertical_datum(), "not stated");
}

TEST(Crs, UnknownNameIsRefusedWithItsPlace) {
  const std::string message = refusal([] { crs("EPSG:1"); });
  EXPECT_THAT(message, HasSubstr("site.toml:[site]: 'EPSG:1' is no coordinate reference system"));
  EXPECT_THAT(refusal([] { crs(""); }), HasSubstr("is no coordinate reference system"));
}

TEST(Crs, IsNeverFetchedFromFilesOrTheNetwork) {
  TempFolder folder;
  const std::string file = folder.write("utm.prj", crs("EPSG:32618").wkt());
  EXPECT_THAT(refusal([&] { crs(file); }), HasSubstr("is no coordinate reference system"));
  EXPECT_THAT(refusal([&] { crs("http://127.0.0.1:9/crs"); }),
              HasSubstr("is no coordinate reference system"));
}

}  // namespace
}  // namespace sim
