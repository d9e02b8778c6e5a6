#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "sim/gis/vector_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

std::vector<OutputLayer> sample_layers() {
  OutputLayer houses{.name = "houses", .shape = OutputLayer::Shape::polygon};
  houses.fields = {{"id", OutputField::Type::text},
                   {"height_m", OutputField::Type::real},
                   {"floors", OutputField::Type::integer}};
  const PolygonShape with_court{
      {{{0, 0, none}, {9, 0, none}, {9, 9, none}, {0, 9, none}, {0, 0, none}},
       {{3, 3, none}, {3, 6, none}, {6, 6, none}, {6, 3, none}, {3, 3, none}}}};
  const PolygonShape shed{{{{20, 0, none}, {22, 0, none}, {22, 2, none}, {20, 0, none}}}};
  houses.features = {
      {PolygonSet{{with_court, shed}}, {std::string("Mühle 1"), 12.25, std::int64_t{4}}},
      {PolygonSet{{shed}}, {std::monostate{}, 0.1, std::monostate{}}}};
  OutputLayer poles{.name = "poles", .shape = OutputLayer::Shape::point};
  poles.fields = {{"id", OutputField::Type::text}};
  poles.features = {{PointSet{{{500000.125, 4428236.25, 31.5}}}, {std::string("p")}}};
  OutputLayer edge{.name = "edge", .shape = OutputLayer::Shape::line};
  edge.fields = {{"level", OutputField::Type::real}};
  edge.features = {
      {LineSet{{{{0, 0, none}, {1, 1, none}}, {{5, 5, none}, {6, 7, none}, {8, 9, none}}}}, {0.9}}};
  OutputLayer notes{.name = "notes", .shape = OutputLayer::Shape::none};
  notes.fields = {{"text", OutputField::Type::text}};
  notes.features = {{std::monostate{}, {std::string("no place")}}};
  return {houses, poles, edge, notes};
}

class GeoPackage : public testing::Test {
 protected:
  VectorTable back(const std::string& layer) {
    return read_vectors({.path = path_, .layer = layer}, crs_);
  }
  void SetUp() override { write_geopackage(path_, crs_, sample_layers()); }
  TempFolder folder_;
  Crs crs_ = Crs::parse("EPSG:32625", {});
  std::string path_ = folder_.file("study.gpkg");
};

TEST_F(GeoPackage, PolygonsComeBackWithHolesPartsAndValues) {
  const auto table = back("houses");
  EXPECT_THAT(table.fields, ElementsAre("id", "height_m", "floors"));
  ASSERT_EQ(table.features.size(), 2U);
  const auto& set = std::get<PolygonSet>(table.features[0].geometry);
  ASSERT_EQ(set.polygons.size(), 2U);
  ASSERT_EQ(set.polygons[0].rings.size(), 2U);
  EXPECT_EQ(set.polygons[0].rings[1][1].y, 6.0);
  EXPECT_THAT(table.features[0].values, ElementsAre("Mühle 1", "12.25", "4"));
  EXPECT_EQ(table.features[1].values[0], std::nullopt) << "no value comes back as no value";
  EXPECT_EQ(table.features[1].values[2], std::nullopt);
}

TEST_F(GeoPackage, PointsKeepEveryBitAndTheirElevation) {
  const VectorTable table = back("poles");
  const auto& point = std::get<PointSet>(table.features.at(0).geometry).points.at(0);
  EXPECT_EQ(point.x, 500000.125);
  EXPECT_EQ(point.y, 4428236.25);
  EXPECT_EQ(point.z, 31.5);
}

TEST_F(GeoPackage, LinesComeBackInTheirParts) {
  const VectorTable table = back("edge");
  const auto& set = std::get<LineSet>(table.features.at(0).geometry);
  ASSERT_EQ(set.lines.size(), 2U);
  EXPECT_EQ(set.lines[1].size(), 3U);
  EXPECT_TRUE(std::isnan(set.lines[1][0].z)) << "a file without z has none";
}

TEST_F(GeoPackage, LayerWithoutShapesHoldsItsRows) {
  const auto table = back("notes");
  ASSERT_EQ(table.features.size(), 1U);
  EXPECT_EQ(table.features[0].values[0], "no place");
}

TEST_F(GeoPackage, EveryLayerIsReadWhenNoneIsNamed) {
  const auto table = back("");
  EXPECT_THAT(table.layers, testing::UnorderedElementsAre("houses", "poles", "edge", "notes"));
  EXPECT_EQ(table.features.size(), 5U);
}

TEST_F(GeoPackage, AnotherTargetCrsMovesTheCoordinates) {
  const auto table = read_vectors({.path = path_, .layer = "poles"}, Crs::wgs84());
  const auto& point = std::get<PointSet>(table.features.at(0).geometry).points.at(0);
  const auto expected = CrsTransform(crs_, Crs::wgs84())({500000.125, 4428236.25});
  EXPECT_NEAR(point.x, expected->x, 1e-9);
  EXPECT_NEAR(point.y, expected->y, 1e-9);
  EXPECT_NEAR(point.x, -33.0, 1e-5);  // central meridian of UTM zone 25 by definition
}

TEST_F(GeoPackage, TheSameLayersGiveTheSameBytes) {
  write_geopackage(folder_.file("again.gpkg"), crs_, sample_layers());
  const std::string first = folder_.read("study.gpkg");
  ASSERT_GT(first.size(), 1000U);
  EXPECT_TRUE(first == folder_.read("again.gpkg"));
}

// OGC 12-128r19 GeoPackage, requirements 1 and 2: SQLite header and application id "GPKG" at 68.
TEST_F(GeoPackage, FileSaysThatItIsAGeoPackage) {
  const std::string bytes = folder_.read("study.gpkg");
  EXPECT_EQ(bytes.substr(0, 15), "SQLite format 3");
  EXPECT_EQ(bytes.substr(68, 4), "GPKG");
}

TEST_F(GeoPackage, FolderThatIsNotThereIsRefused) {
  EXPECT_THAT(refusal([&] { write_geopackage(folder_.file("no/x.gpkg"), crs_, sample_layers()); }),
              HasSubstr("cannot be written"));
}

TEST_F(GeoPackage, ReadingLeavesTheFolderAsItWas) {
  const std::string before = folder_.read("study.gpkg");
  back("");
  EXPECT_TRUE(before == folder_.read("study.gpkg"));
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
    names.push_back(entry.path().filename());
  }
  EXPECT_THAT(names, ElementsAre("study.gpkg"));
}

}  // namespace
}  // namespace sim
