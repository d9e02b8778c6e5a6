// Contract, section 4: height, levels x 3 m + roof levels, surface, neighbours, default, in that
// order; every building records which.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/height_text.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

// International foot 0.3048 m and inch 0.0254 m, exact (1959 agreement).
TEST(HeightText, IsReadWithItsUnit) {
  EXPECT_EQ(length_from_text("12"), 12.0);
  EXPECT_EQ(length_from_text("12 m"), 12.0);
  EXPECT_EQ(length_from_text("12.13 m"), 12.13);
  EXPECT_EQ(length_from_text("12,5"), 12.5);
  EXPECT_EQ(length_from_text(" 8 meters "), 8.0);
  EXPECT_DOUBLE_EQ(length_from_text("40'").value(), 12.192);
  EXPECT_DOUBLE_EQ(length_from_text("40 ft").value(), 12.192);
  EXPECT_DOUBLE_EQ(length_from_text("39'6\"").value(), 39.5 * 0.3048);
  EXPECT_DOUBLE_EQ(length_from_text("39' 6 in").value(), 39.5 * 0.3048);
  EXPECT_EQ(length_from_text("-3"), -3.0);
}

TEST(HeightText, IsNothingElse) {
  for (const char* text : {"", "tall", "12 floors", "12;15", "1,234.5", "39'6", "12 m 3", "nan",
                           "inf", "m", "1e400", "12-15", "~12"}) {
    EXPECT_EQ(length_from_text(text), std::nullopt) << text;
  }
}

std::string house(double x, const std::string& properties) {
  return feature(rectangle(x, 0, 10, 10), properties);
}

class BuildingHeights : public testing::Test {
 protected:
  std::vector<BuildingRecord> import(std::initializer_list<std::string> houses,
                                     const std::string& more = "") {
    site_.layer("houses.geojson", houses);
    imported_ = site_.import("[[buildings]]\nfile = \"houses.geojson\"\n" + more);
    return imported_.buildings;
  }
  InventedSite site_;
  ImportedSite imported_;
};

TEST_F(BuildingHeights, TagComesBeforeLevels) {
  const auto b = import({house(0, R"({"height":"12.5 m","building:levels":"9"})"),
                         house(20, R"({"height":"39'6\"","building:levels":"9"})"),
                         house(40, R"({"height":17})")});
  EXPECT_EQ(b.at(0).height_source, HeightSource::tagged);
  EXPECT_DOUBLE_EQ(b[0].height_m, 12.5);
  EXPECT_DOUBLE_EQ(b.at(1).height_m, 12.0396);
  EXPECT_DOUBLE_EQ(b.at(2).height_m, 17.0);
  EXPECT_EQ(counted(imported_.report, "buildings").defaulted, 0U);
}

TEST_F(BuildingHeights, LevelsAreThreeMetresAndRoofLevelsCount) {
  const auto b = import({house(0, R"({"building:levels":"4"})"),
                         house(20, R"({"building:levels":"4","roof:levels":"1"})"),
                         house(40, R"({"building:levels":2.5})")});
  EXPECT_EQ(b.at(0).height_source, HeightSource::levels);
  EXPECT_DOUBLE_EQ(b[0].height_m, 12.0);
  EXPECT_DOUBLE_EQ(b.at(1).height_m, 15.0);
  EXPECT_DOUBLE_EQ(b.at(2).height_m, 7.5);
}

TEST_F(BuildingHeights, UnreadableTagFallsToLevelsAndIsReported) {
  const auto b = import({house(0, R"({"height":"tall","building:levels":"2"})")});
  EXPECT_EQ(b.at(0).height_source, HeightSource::levels);
  EXPECT_DOUBLE_EQ(b[0].height_m, 6.0);
  EXPECT_EQ(issues(imported_.report, "height_unreadable"), 1U);
  EXPECT_EQ(counted(imported_.report, "buildings").repaired, 1U)
      << "what the list calls repaired, the table counts";
}

TEST_F(BuildingHeights, ZeroMeansUnknown) {
  EXPECT_EQ(import({house(0, R"({"height":0,"building:levels":"3"})")}).at(0).height_source,
            HeightSource::levels);
}

TEST_F(BuildingHeights, SurfaceIsTakenAboveTheLowestGround) {
  // Ground falls 0.1 m per metre to the west: 50 + x / 10; the roof is level at 70.
  site_.raster("dtm", {-250, 250}, 5.0, 100, 100, [](double x, double) { return 50 + x / 10; });
  site_.raster("dsm", {-250, 250}, 1.0, 500, 500, [](double x, double y) {
    return x > 0 && x < 10 && y > 0 && y < 10 ? 70.0 : 50 + x / 10;
  });
  const auto b = import({house(0, "{}"), house(20, R"({"height":4})")},
                        "[ground]\nfile = \"dtm.asc\"\n[surface]\nfile = \"dsm.asc\"\n");
  EXPECT_EQ(b.at(0).height_source, HeightSource::surface);
  // Lowest ground at a cell centre inside: 50 + 0.5 / 10.
  EXPECT_NEAR(b[0].height_m, 70.0 - 50.05, 1e-4);
  EXPECT_EQ(b.at(1).height_source, HeightSource::tagged);
}

TEST_F(BuildingHeights, SurfaceThatCountsFromTheGroundIsRecognised) {
  site_.raster("ndsm", {-250, 250}, 1.0, 500, 500,
               [](double x, double y) { return x > 0 && x < 10 && y > 0 && y < 10 ? 18.0 : 0.0; });
  const auto b =
      import({house(0, "{}")}, "[ground]\nelevation_m = 300\n[surface]\nfile = \"ndsm.asc\"\n");
  EXPECT_EQ(b.at(0).height_source, HeightSource::surface);
  EXPECT_NEAR(b[0].height_m, 18.0, 1e-4);
}

TEST_F(BuildingHeights, SurfaceIgnoresAChimney) {
  // One cell in a hundred stands 10 m higher than the roof.
  site_.raster("dsm", {-250, 250}, 1.0, 500, 500, [](double x, double y) {
    if (x > 5 && x < 6 && y > 5 && y < 6) return 19.0;
    return x > 0 && x < 10 && y > 0 && y < 10 ? 9.0 : 0.0;
  });
  EXPECT_NEAR(import({house(0, "{}")}, "[surface]\nfile = \"dsm.asc\"\n").at(0).height_m, 9.0,
              1e-4);
}

TEST_F(BuildingHeights, NeighboursGiveTheirMedian) {
  // Heights 3, 30, 9, 12, 6 around: median 9 by hand.
  const auto b = import({house(0, "{}"), house(20, R"({"height":3})"),
                         house(-20, R"({"height":30})"), house(40, R"({"height":9})"),
                         house(-40, R"({"height":12})"), house(60, R"({"height":6})")});
  EXPECT_EQ(b.at(0).height_source, HeightSource::neighbours);
  EXPECT_DOUBLE_EQ(b[0].height_m, 9.0);
  EXPECT_EQ(counted(imported_.report, "buildings").defaulted, 1U);
}

TEST_F(BuildingHeights, NeighboursThatWereGuessedThemselvesDoNotCount) {
  const auto b = import({house(0, "{}"), house(15, "{}"), house(30, R"({"height":21})")});
  EXPECT_DOUBLE_EQ(b.at(0).height_m, 21.0);
  EXPECT_DOUBLE_EQ(b.at(1).height_m, 21.0);
}

TEST_F(BuildingHeights, DefaultIsLastAndThatOfTheLayer) {
  // The only neighbour is more than 100 m away.
  const auto b =
      import({house(-90, "{}"), house(60, R"({"height":21})")}, "default_height_m = 6.5\n");
  EXPECT_EQ(b.at(0).height_source, HeightSource::fallback);
  EXPECT_DOUBLE_EQ(b[0].height_m, 6.5);
  EXPECT_EQ(counted(imported_.report, "buildings").defaulted, 1U);
}

TEST_F(BuildingHeights, DefaultWithoutOneIsThatOfTheAssets) {
  EXPECT_DOUBLE_EQ(import({house(0, "{}")}).at(0).height_m, 9.0);  // assets/defaults.csv
}

TEST_F(BuildingHeights, NamedFieldsAreUsedAndUnknownOnesRefused) {
  site_.layer("h.geojson", {house(0, R"({"roof":11,"stock":5,"foot":31.5,"height":99})")});
  const auto b = site_
                     .import(
                         "[[buildings]]\nfile = \"h.geojson\"\nheight_field = \"roof\"\n"
                         "base_field = \"foot\"\n")
                     .buildings;
  EXPECT_DOUBLE_EQ(b.at(0).height_m, 11.0);
  EXPECT_EQ(b[0].base_elevation_m, 31.5);
  EXPECT_DOUBLE_EQ(site_
                       .import("[[buildings]]\nfile = \"h.geojson\"\nlevels_field = \"stock\"\n"
                               "height_field = \"roof\"\n")
                       .buildings.at(0)
                       .height_m,
                   11.0);
  EXPECT_THAT(refusal([&] {
                site_.import("[[buildings]]\nfile = \"h.geojson\"\nheight_field = \"rof\"\n");
              }),
              HasSubstr("field 'rof' is not in"));
}

TEST_F(BuildingHeights, NegativeHeightIsRefused) {
  EXPECT_THAT(refusal([&] { import({house(0, R"({"height":-3})")}); }),
              HasSubstr("height is -3, but it must not be negative"));
}

TEST_F(BuildingHeights, DefaultedIsCountedForTheLayerItBelongsTo) {
  site_.layer("a.geojson",
              {house(0, R"({"kind":"new","height":9})"), house(20, R"({"kind":"old"})")});
  const auto report = site_
                          .import(
                              "[[buildings]]\nfile = \"a.geojson\"\nwhere = \"kind = 'new'\"\n"
                              "[[buildings]]\nfile = \"a.geojson\"\nwhere = \"kind = 'old'\"\n")
                          .report;
  EXPECT_EQ(report.layers.at(0).defaulted, 0U);
  EXPECT_EQ(report.layers.at(1).defaulted, 1U);
}

}  // namespace
}  // namespace sim
