#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "sim/gis/vector_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const Crs& atlantic() {  // UTM 25N: open sea, no real place
  static const Crs crs = Crs::parse("EPSG:32625", {});
  return crs;
}

class Vectors : public testing::Test {
 protected:
  VectorTable read(const std::string& path, const std::string& layer = "",
                   const std::string& where = "") {
    return read_vectors({.path = path, .layer = layer, .where = where, .assume = {}}, atlantic());
  }
  /// A GeoJSON in metres of the site; RFC 7946 dropped the "crs" member, the older form has it.
  std::string metres(const std::string& name, const std::string& features) {
    return folder_.write(name,
                         R"({"type":"FeatureCollection","name":"houses","crs":{"type":"name",)"
                         R"("properties":{"name":"urn:ogc:def:crs:EPSG::32625"}},"features":[)" +
                             features + "]}");
  }
  TempFolder folder_;
};

const std::string house =
    R"({"type":"Feature","properties":{"id":"a","height":12.5,"floors":null},"geometry":)"
    R"({"type":"MultiPolygon","coordinates":[)"
    R"([[[0,0],[20,0],[20,20],[0,20],[0,0]],[[5,5],[5,15],[15,15],[15,5],[5,5]]],)"
    R"([[[30,0],[34,0],[34,4],[30,4],[30,0]]]]}})";
const std::string hut =
    R"({"type":"Feature","properties":{"id":"b","height":3,"floors":1},"geometry":)"
    R"({"type":"Polygon","coordinates":[[[50,0],[54,0],[54,4],[50,4],[50,0]]]}})";

TEST_F(Vectors, GeoJsonInDegreesComesOutInTheSiteCrs) {
  const auto table =
      read(folder_.write("p.geojson", R"({"type":"Feature","properties":{},"geometry":)"
                                      R"({"type":"Point","coordinates":[-33.0,0.0]}})"));
  const auto& point = std::get<PointSet>(table.features.at(0).geometry).points.at(0);
  // UTM by definition: central meridian of zone 25 at the equator is (500000, 0).
  EXPECT_NEAR(point.x, 500000.0, 1e-3);
  EXPECT_NEAR(point.y, 0.0, 1e-3);
}

TEST_F(Vectors, MultipolygonKeepsItsPartsAndHoles) {
  const auto table = read(metres("h.geojson", house));
  const auto& set = std::get<PolygonSet>(table.features.at(0).geometry);
  ASSERT_EQ(set.polygons.size(), 2U);
  ASSERT_EQ(set.polygons[0].rings.size(), 2U) << "shell and one hole, as drawn";
  EXPECT_EQ(set.polygons[0].rings[1].size(), 5U);
  EXPECT_EQ(set.polygons[0].rings[0].front().x, set.polygons[0].rings[0].back().x);
  EXPECT_EQ(set.polygons[1].rings.size(), 1U);
}

TEST_F(Vectors, ValuesComeAsTextAndMissingOnesAsNothing) {
  const auto table = read(metres("h.geojson", house + "," + hut));
  const auto& values = table.features.at(0).values;
  EXPECT_EQ(values.at(*table.field("HEIGHT")), "12.5") << "fields are found without case";
  EXPECT_EQ(values.at(*table.field("floors")), std::nullopt);
  EXPECT_EQ(table.features.at(1).values.at(*table.field("floors")), "1");
  EXPECT_EQ(table.field("colour"), std::nullopt);
  EXPECT_EQ(to_string(table.features.at(1).source), folder_.file("h.geojson") + ":houses:1");
}

TEST_F(Vectors, WhereChoosesFeatures) {
  const auto table = read(metres("h.geojson", house + "," + hut), "", "height > 10");
  ASSERT_EQ(table.features.size(), 1U);
  EXPECT_EQ(table.features[0].values.at(*table.field("id")), "a");
}

TEST_F(Vectors, WhereThatCannotBeParsedIsRefused) {
  const auto path = metres("h.geojson", house);
  EXPECT_THAT(refusal([&] { read(path, "", "height >"); }),
              HasSubstr("where = \"height >\" cannot be used"));
  EXPECT_THAT(refusal([&] { read(path, "", "hight > 3"); }), HasSubstr("hight"));
}

TEST_F(Vectors, UnknownLayerIsRefusedWithTheKnownOnes) {
  EXPECT_THAT(refusal([&] { read(metres("h.geojson", house), "hauses"); }),
              HasSubstr("h.geojson:hauses: no such layer; the file has: houses"));
}

TEST_F(Vectors, SwappedLatitudeAndLongitudeAreRefused) {
  // 40 N 33 W written as (40, -33).
  const auto path = folder_.write("p.geojson", R"({"type":"Feature","properties":{},"geometry":)"
                                               R"({"type":"Point","coordinates":[40.0,-33.0]}})");
  EXPECT_THAT(refusal([&] { read(path); }), HasSubstr("latitude and longitude look swapped"));
}

TEST_F(Vectors, OneMisplacedFeatureAmongGoodOnesLosesOnlyItsGeometry) {
  const auto table = read(folder_.write(
      "p.geojson",
      R"({"type":"FeatureCollection","features":[)"
      R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[40,-33]}},)"
      R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[-33,40]}}]})"));
  ASSERT_EQ(table.features.size(), 2U);
  EXPECT_TRUE(std::holds_alternative<std::monostate>(table.features[0].geometry));
  EXPECT_TRUE(std::holds_alternative<PointSet>(table.features[1].geometry));
}

TEST_F(Vectors, MissingAndUnreadableFilesAreRefused) {
  EXPECT_THAT(refusal([&] { read(folder_.file("none.gpkg")); }), HasSubstr("no such file"));
  EXPECT_THAT(refusal([&] { read(folder_.write("x.gpkg", "no database")); }),
              HasSubstr("cannot be read as vector data"));
}

TEST_F(Vectors, MoreFeaturesThanAllowedAreRefused) {
  const auto path = metres("h.geojson", house + "," + hut);
  EXPECT_THAT(refusal([&] { read_vectors({.path = path, .max_features = 1}, atlantic()); }),
              HasSubstr("has more than 1 features"));
}

TEST_F(Vectors, BoundsAreThoseOfAllFeatures) {
  const auto path = folder_.write(
      "l.geojson",
      R"({"type":"FeatureCollection","features":[)"
      R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[-33,40]}},)"
      R"({"type":"Feature","properties":{},"geometry":)"
      R"({"type":"LineString","coordinates":[[-32.5,39],[-34,41]]}}]})");
  const auto bounds = lonlat_bounds({.path = path});
  ASSERT_TRUE(bounds);
  EXPECT_DOUBLE_EQ(bounds->west_deg, -34.0);
  EXPECT_DOUBLE_EQ(bounds->south_deg, 39.0);
  EXPECT_DOUBLE_EQ(bounds->east_deg, -32.5);
  EXPECT_DOUBLE_EQ(bounds->north_deg, 41.0);
}

TEST_F(Vectors, CsvPointsAreDegreesOrMetresOfTheSite) {
  const auto degrees = read(folder_.write("d.csv", "Longitude;Latitude\n-33;0,0\n"));
  EXPECT_NEAR(std::get<PointSet>(degrees.features.at(0).geometry).points[0].x, 500000.0, 1e-3);
  const auto map = read(folder_.write("m.csv", "id,x_m,y_m\na,500010.5,20\nb,,\n"));
  EXPECT_EQ(std::get<PointSet>(map.features.at(0).geometry).points[0].x, 500010.5);
  EXPECT_TRUE(std::holds_alternative<std::monostate>(map.features.at(1).geometry));
}

TEST_F(Vectors, CsvWithoutPositionSaysWhatItHas) {
  EXPECT_THAT(refusal([&] { read(folder_.write("p.csv", "id,easting_ft\n1,2\n")); }),
              HasSubstr("columns lon and lat, or x_m and y_m in the site CRS; it has: id, "
                        "easting_ft"));
}

TEST_F(Vectors, CsvWithSwappedColumnsIsRefused) {
  EXPECT_THAT(refusal([&] { read(folder_.write("p.csv", "lon,lat\n40,-33\n41,-33\n")); }),
              HasSubstr("latitude and longitude look swapped"));
}

}  // namespace
}  // namespace sim
