// A small OpenStreetMap extract, invented, in the open Atlantic.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/map_geometry.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

/// Nodes 1..4: a house; 11..18: shell and court of a block; 21..24: an arcade; 31 a lamp, 32 a
/// tree, 33 a bench; 41..42 a street.
std::string extract() {
  std::string nodes;
  const auto node = [&](int id, double east_deg, double north_deg, const std::string& tags = "") {
    nodes += fmt::format("<node id=\"{}\" lon=\"{:.7f}\" lat=\"{:.7f}\" version=\"1\"{}\n", id,
                         -33.0 + east_deg, 40.0 + north_deg,
                         tags.empty() ? "/>" : ">" + tags + "</node>");
  };
  const auto square = [&](int id, double x, double y, double side) {
    node(id, x, y);
    node(id + 1, x + side, y);
    node(id + 2, x + side, y + side);
    node(id + 3, x, y + side);
  };
  square(1, 0, 0, 1e-4);
  square(11, 3e-4, 0, 3e-4);
  square(15, 4e-4, 1e-4, 1e-4);
  square(21, 0, 5e-4, 1e-4);
  const auto tag = [](const std::string& k, const std::string& v) {
    return "<tag k=\"" + k + "\" v=\"" + v + "\"/>";
  };
  node(31, 2e-4, 0, tag("highway", "street_lamp") + tag("height", "6"));
  node(32, 2e-4, 1e-4, tag("natural", "tree"));
  node(33, 2e-4, 2e-4, tag("amenity", "bench"));
  node(41, -5e-4, 0);
  node(42, 5e-4, 0);
  const auto way = [](int id, std::initializer_list<int> ids, const std::string& tags) {
    std::string text = fmt::format("<way id=\"{}\" version=\"1\">", id);
    for (const int n : ids) text += fmt::format("<nd ref=\"{}\"/>", n);
    return text + tags + "</way>\n";
  };
  return "<?xml version=\"1.0\"?>\n<osm version=\"0.6\">\n" + nodes +
         way(101, {1, 2, 3, 4, 1}, tag("building", "yes") + tag("building:levels", "3")) +
         way(102, {11, 12, 13, 14, 11}, "") + way(103, {15, 16, 17, 18, 15}, "") +
         way(104, {21, 22, 23, 24, 21},
             tag("building:part", "yes") + tag("height", "39'6&quot;") + tag("min_height", "4 m")) +
         way(105, {41, 42}, tag("highway", "residential") + tag("name", "Gull Street")) +
         way(106, {1, 2}, tag("barrier", "fence")) +
         "<relation id=\"301\" version=\"1\"><member type=\"way\" ref=\"102\" role=\"outer\"/>"
         "<member type=\"way\" ref=\"103\" role=\"inner\"/>" +
         tag("type", "multipolygon") + tag("building", "yes") + tag("height", "20") +
         "</relation>\n</osm>\n";
}

class Osm : public testing::Test {
 protected:
  ImportedSite import(const std::string& sections) {
    folder_.write("town.osm", extract());
    return import_site(
        read_site(folder_.write("site.toml",
                                "[site]\ncrs = \"EPSG:32625\"\n[[node]]\nlon = -33\nlat = 40\n"
                                "[[node.sector]]\n" +
                                    sections)));
  }
  TempFolder folder_;
};

TEST_F(Osm, BuildingsAreWaysPartsAndRelations) {
  const auto imported = import("[[buildings]]\nfile = \"town.osm\"\n");
  ASSERT_EQ(imported.buildings.size(), 3U);
  std::map<std::string, BuildingRecord> by_id;
  for (const BuildingRecord& b : imported.buildings) by_id[b.id] = b;
  EXPECT_DOUBLE_EQ(by_id.at("way/101").height_m, 9.0) << "3 levels of 3 m";
  EXPECT_EQ(by_id["way/101"].height_source, HeightSource::levels);
  EXPECT_DOUBLE_EQ(by_id.at("relation/301").height_m, 20.0);
  EXPECT_DOUBLE_EQ(by_id.at("way/104").height_m, 12.0396) << "39 ft 6 in";
  EXPECT_DOUBLE_EQ(by_id["way/104"].min_height_m, 4.0);
}

TEST_F(Osm, CourtyardOfARelationStaysOpen) {
  const auto imported = import("[[buildings]]\nfile = \"town.osm\"\n");
  const auto block = std::find_if(imported.buildings.begin(), imported.buildings.end(),
                                  [](const auto& b) { return b.id == "relation/301"; });
  ASSERT_NE(block, imported.buildings.end());
  ASSERT_EQ(block->polygons.at(0).holes.size(), 1U);
  const CrsTransform to_map(Crs::wgs84(), imported.crs);
  EXPECT_FALSE(contains(block->polygons, *to_map({-33.0 + 4.5e-4, 40.0 + 1.5e-4})));
  EXPECT_TRUE(contains(block->polygons, *to_map({-33.0 + 3.5e-4, 40.0 + 0.5e-4})));
  // Nine times the court: shell of side 3, court of side 1.
  EXPECT_NEAR(area_m2(block->polygons[0].shell) / -area_m2(block->polygons[0].holes[0]), 9.0, 1e-3);
}

TEST_F(Osm, LampsAreThePolesAndTreesTheTrees) {
  const auto imported = import("[[poles]]\nfile = \"town.osm\"\n[[trees]]\nfile = \"town.osm\"\n");
  ASSERT_EQ(imported.poles.size(), 1U);
  EXPECT_EQ(imported.poles[0].id, "node/31");
  EXPECT_DOUBLE_EQ(imported.poles[0].height_m, 6.0);
  ASSERT_EQ(imported.trees.size(), 1U);
  EXPECT_EQ(imported.trees[0].id, "node/32");
}

TEST_F(Osm, StreetsAndFencesAreLines) {
  const auto imported = import(
      "[streets]\nfile = \"town.osm\"\n"
      "[[objects]]\nfile = \"town.osm\"\nkind = \"fence\"\n");
  ASSERT_EQ(imported.streets.size(), 1U);
  EXPECT_EQ(imported.streets[0].id, "way/105");
  EXPECT_EQ(imported.streets[0].name, "Gull Street");
  ASSERT_EQ(imported.objects.size(), 1U);
  EXPECT_EQ(imported.objects[0].lines.at(0).size(), 2U);
}

TEST_F(Osm, WhereTakesThePlaceOfTheUsualChoice) {
  const auto imported =
      import("[[poles]]\nfile = \"town.osm\"\nlayer = \"points\"\nwhere = \"amenity = 'bench'\"\n");
  ASSERT_EQ(imported.poles.size(), 1U);
  EXPECT_EQ(imported.poles[0].id, "node/33");
}

TEST_F(Osm, TruncatedFileIsRefused) {
  const std::string text = extract();
  folder_.write("cut.osm", text.substr(0, text.size() - 80));
  EXPECT_THAT(refusal([&] { import("[[buildings]]\nfile = \"cut.osm\"\n"); }),
              HasSubstr("breaks off while being read"));
}

}  // namespace
}  // namespace sim
