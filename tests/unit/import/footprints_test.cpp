#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/map_geometry.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

Xy at(double x, double y) { return {origin_x_m + x, origin_y_m + y}; }

class Footprints : public testing::Test {
 protected:
  ImportedSite import(std::initializer_list<std::string> features, bool strict = false) {
    site_.layer("houses.geojson", features);
    return site_.import("[[buildings]]\nfile = \"houses.geojson\"\n", strict);
  }
  InventedSite site_;
};

const std::string h9 = R"({"height":9})";

TEST_F(Footprints, CourtyardStaysOpen) {
  const auto b =
      import({feature(polygon(rectangle_ring(0, 0, 30, 30) + "," + rectangle_ring(10, 10, 10, 10)),
                      h9)})
          .buildings;
  ASSERT_EQ(b.at(0).polygons.size(), 1U);
  ASSERT_EQ(b[0].polygons[0].holes.size(), 1U);
  EXPECT_TRUE(contains(b[0].polygons, at(5, 15)));
  EXPECT_FALSE(contains(b[0].polygons, at(15, 15)));
  EXPECT_DOUBLE_EQ(area_m2(b[0].polygons[0].shell), 900.0) << "counter-clockwise";
  EXPECT_DOUBLE_EQ(area_m2(b[0].polygons[0].holes[0]), -100.0) << "clockwise";
}

TEST_F(Footprints, MultipolygonIsOneBuildingOfSeveralParts) {
  const std::string two = R"({"type":"MultiPolygon","coordinates":[[)" +
                          rectangle_ring(0, 0, 10, 10) + "],[" + rectangle_ring(20, 0, 5, 5) +
                          "]]}";
  const auto b = import({feature(two, h9)}).buildings;
  ASSERT_EQ(b.size(), 1U);
  EXPECT_EQ(b[0].polygons.size(), 2U);
  EXPECT_FALSE(contains(b[0].polygons, at(15, 2)));
}

TEST_F(Footprints, ClockwiseShellIsTurned) {
  const auto b =
      import({feature(polygon(positions({{0, 0}, {0, 8}, {8, 8}, {8, 0}, {0, 0}})), h9)}).buildings;
  EXPECT_DOUBLE_EQ(area_m2(b.at(0).polygons.at(0).shell), 64.0);
  EXPECT_EQ(b[0].polygons[0].shell.size(), 4U) << "the first point is not repeated";
}

TEST_F(Footprints, PartsThatCoverTheOutlineReplaceIt) {
  const auto imported =
      import({feature(rectangle(0, 0, 20, 10), R"({"id":"o","building":"yes","height":20})"),
              feature(rectangle(0, 0, 10, 10), R"({"id":"p","building:part":"yes","height":20})"),
              feature(rectangle(10, 0, 10, 10), R"({"id":"q","building:part":"yes","height":5})")});
  ASSERT_EQ(imported.buildings.size(), 2U);
  EXPECT_EQ(imported.buildings[0].id, "p");
  EXPECT_EQ(imported.buildings[1].id, "q");
  EXPECT_EQ(issues(imported.report, "outline_replaced_by_parts"), 1U);
  const LayerCount& count = counted(imported.report, "buildings");
  EXPECT_EQ(count.read, 3U);
  EXPECT_EQ(count.used, 2U);
  EXPECT_EQ(count.dropped, 1U);
}

TEST_F(Footprints, PartOnHalfOfTheOutlineStandsBesideIt) {
  const auto imported =
      import({feature(rectangle(0, 0, 20, 10), R"({"id":"o","building":"yes","height":8})"),
              feature(rectangle(0, 0, 10, 10), R"({"id":"p","building:part":"yes","height":20})")});
  EXPECT_EQ(imported.buildings.size(), 2U);
  EXPECT_EQ(counted(imported.report, "buildings").dropped, 0U);
}

TEST_F(Footprints, PartThatIsAlsoABuildingIsNoPart) {
  const auto imported = import(
      {feature(rectangle(0, 0, 10, 10), R"({"building":"yes","building:part":"no","height":8})"),
       feature(rectangle(0, 0, 10, 10), R"({"building":"yes","building:part":"yes","height":8})")});
  EXPECT_EQ(imported.buildings.size(), 2U);
}

TEST_F(Footprints, MinHeightLeavesTheSpaceBelowOpen) {
  const auto imported = import(
      {feature(rectangle(0, 0, 10, 10), R"({"height":12,"min_height":4.5})"),
       feature(rectangle(20, 0, 10, 10), R"({"building:levels":"5","building:min_level":"2"})"),
       feature(rectangle(40, 0, 10, 10), R"({"height":5,"min_height":5})")});
  EXPECT_DOUBLE_EQ(imported.buildings.at(0).min_height_m, 4.5);
  EXPECT_DOUBLE_EQ(imported.buildings.at(1).min_height_m, 6.0) << "2 levels of 3 m";
  EXPECT_DOUBLE_EQ(imported.buildings.at(2).min_height_m, 0.0);
  EXPECT_EQ(issues(imported.report, "min_height_above_roof"), 1U);
}

TEST_F(Footprints, BrokenRecordsAreCountedOneByOne) {
  const auto imported = import({
      feature(rectangle(0, 0, 10, 10), h9),
      // Bow tie of two triangles, 5 m^2 each.
      feature(polygon(positions({{20, 0}, {24, 5}, {24, 0}, {20, 5}, {20, 0}})), h9),
      feature(polygon(positions({{30, 0}, {35, 0}, {30, 0}, {30, 0}})), h9),  // no area
      feature(point(40, 0), h9),                                              // a door
      feature("null", h9), feature(rectangle(5000, 0, 10, 10), h9),           // far away
      feature(line({{50, 0}, {60, 0}, {60, 10}, {50, 10}}), h9),              // a ring cut open
  });
  const LayerCount& count = counted(imported.report, "buildings");
  EXPECT_EQ(count.read, 7U);
  EXPECT_EQ(count.used, 3U);
  EXPECT_EQ(count.repaired, 2U);
  EXPECT_EQ(count.dropped, 3U);
  EXPECT_EQ(count.outside, 1U);
  EXPECT_EQ(count.used + count.dropped + count.outside, count.read) << "nothing is lost silently";
  EXPECT_EQ(issues(imported.report, "ring_repaired"), 1U);
  EXPECT_EQ(issues(imported.report, "ring_closed"), 1U);
  EXPECT_EQ(issues(imported.report, "no_area"), 1U);
  EXPECT_EQ(issues(imported.report, "not_a_polygon"), 1U);
  EXPECT_EQ(issues(imported.report, "no_geometry"), 1U);
  double bow_tie = 0.0;
  for (const MapPolygon& p : imported.buildings.at(1).polygons) bow_tie += area_m2(p.shell);
  EXPECT_NEAR(bow_tie, 10.0, 1e-6);
}

TEST_F(Footprints, StrictStopsAtTheFirstBrokenRecord) {
  const std::string bow =
      feature(polygon(positions({{20, 0}, {24, 5}, {24, 0}, {20, 5}, {20, 0}})), h9);
  EXPECT_THAT(refusal([&] {
                import({feature(rectangle(0, 0, 9, 9), h9), bow}, true);
              }),
              HasSubstr("houses.geojson:houses:1: footprint was not valid (Self-intersection"));
  EXPECT_EQ(refusal([&] { import({feature(rectangle(0, 0, 9, 9), h9)}, true); }), "");
}

TEST_F(Footprints, LayerWhollyElsewhereIsSaidToBe) {
  const auto imported = import({feature(rectangle(5000, 0, 10, 10), h9)});
  EXPECT_TRUE(imported.buildings.empty());
  EXPECT_EQ(counted(imported.report, "buildings").outside, 1U);
  EXPECT_EQ(issues(imported.report, "all_outside"), 1U);
}

TEST_F(Footprints, LayerWithoutFeaturesIsRefused) {
  EXPECT_THAT(refusal([&] { import({}); }), HasSubstr("holds no buildings"));
}

TEST_F(Footprints, NamesAreTheRecordsOwnElseItsNumber) {
  const auto b = import({feature(rectangle(0, 0, 9, 9), R"({"height":9,"id":"h-1","name":"Hall"})"),
                         feature(rectangle(20, 0, 9, 9), R"({"height":9,"name":"Mill"})"),
                         feature(rectangle(40, 0, 9, 9), h9)})
                     .buildings;
  EXPECT_EQ(b.at(0).id, "h-1");
  EXPECT_EQ(b.at(1).id, "Mill");
  EXPECT_EQ(b.at(2).id, "houses/2");
}

TEST_F(Footprints, MaterialIsThatOfTheLayerElseTheRecordsElseConcrete) {
  site_.layer("houses.geojson",
              {feature(rectangle(0, 0, 9, 9), R"({"height":9,"building:material":"brick"})"),
               feature(rectangle(20, 0, 9, 9), R"({"height":9,"building:material":"straw"})")});
  const auto own = site_.import("[[buildings]]\nfile = \"houses.geojson\"\n").buildings;
  EXPECT_EQ(own.at(0).material, "brick");
  EXPECT_EQ(own.at(1).material, "concrete");
  const auto set =
      site_.import("[[buildings]]\nfile = \"houses.geojson\"\nmaterial = \"wood\"\n").buildings;
  EXPECT_EQ(set.at(0).material, "wood");
}

}  // namespace
}  // namespace sim
