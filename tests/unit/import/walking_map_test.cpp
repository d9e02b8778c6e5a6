// What a walk needs of the map: widths, places to keep off, parking, house numbers.
#include "sim/import/walking_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

std::string plan_refused(const std::string& section) {
  const InventedSite invented;
  return refusal([&] { read_site(invented.write(section)); });
}

TEST(WalkingMap, StreetsTellWidthClassAndWhoMayWalk) {
  const InventedSite invented;
  invented.layer("streets.geojson",
                 {feature(line({{0, 0}, {80, 0}}),
                          R"({"name":"Wide","highway":"primary","width":"12.5 m","lanes":"3"})"),
                  feature(line({{0, 20}, {80, 20}}), R"({"name":"Odd","width":"two carts"})"),
                  feature(line({{0, 30}, {80, 30}}), R"({"name":"Shut","access":"private"})"),
                  feature(line({{0, 40}, {80, 40}}),
                          R"({"name":"Over","access":"no","foot":"yes","bridge":"yes"})")});
  const ImportedSite site = invented.import("[streets]\nfile = \"streets.geojson\"\n");
  ASSERT_EQ(site.streets.size(), 4U);
  EXPECT_EQ(site.streets[0].highway, "primary");
  EXPECT_DOUBLE_EQ(*site.streets[0].width_m, 12.5);
  EXPECT_EQ(*site.streets[0].lanes, 3);
  EXPECT_FALSE(site.streets[0].bridge || site.streets[0].closed_on_foot);
  EXPECT_FALSE(site.streets[1].width_m || site.streets[1].lanes);
  EXPECT_TRUE(site.streets[2].closed_on_foot);
  EXPECT_FALSE(site.streets[3].closed_on_foot);
  EXPECT_TRUE(site.streets[3].bridge);
}

TEST(WalkingMap, ReadsWhatThePlanNames) {
  const InventedSite invented;
  invented.layer("pond.geojson", {feature(rectangle(10, 10, 20, 20))});
  invented.layer("bays.geojson",
                 {feature(line({{0, 5}, {40, 5}}), R"({"id":"kerb 1"})"),
                  feature(point(50, 5), R"({"id":"bay 2"})"), feature(rectangle(60, 0, 20, 10))});
  invented.layer("doors.geojson",
                 {feature(point(5, 8), R"({"housenumber":"12","street":"Mill Lane"})"),
                  feature(point(15, 8), R"({"housenumber":"","street":"Mill Lane"})")});
  const ImportedSite site = invented.import(
      "[plan]\naddresses = \"doors.geojson\"\n[[plan.avoid]]\nfile = \"pond.geojson\"\n"
      "[[plan.parking]]\nfile = \"bays.geojson\"\n");
  const WalkingMap map = read_walking_map(site);
  ASSERT_EQ(map.avoid.size(), 1U);
  EXPECT_EQ(map.avoid[0].polygons[0].shell.size(), 4U);
  ASSERT_EQ(map.parking.size(), 3U);
  EXPECT_EQ(map.parking[0].line.size(), 2U);
  EXPECT_EQ(map.parking[1].id, "bay 2");
  EXPECT_EQ(map.parking[2].polygons.size(), 1U);
  ASSERT_EQ(map.addresses.size(), 1U);
  EXPECT_EQ(map.addresses[0].text, "12 Mill Lane");
}

TEST(WalkingMap, RefusesWhatMakesNoWalk) {
  EXPECT_THAT(plan_refused("[plan]\nstep_m = 1.5\n"), HasSubstr("must lie between 2 and 1000"));
  EXPECT_THAT(plan_refused("[plan]\ncount = 0\n"), HasSubstr("must lie between 1 and 1000"));
  EXPECT_THAT(plan_refused("[plan]\ncontrols = \"pairs\"\n"), HasSubstr("must be a list of words"));
  EXPECT_THAT(plan_refused("[plan]\ncontrols = [\"off_sid\"]\n"),
              HasSubstr("did you mean 'off_side'?"));
  EXPECT_THAT(plan_refused("[plan]\ncontrol_points = [[200, 40]]\n"), HasSubstr("not on Earth"));
  EXPECT_THAT(plan_refused("[plan]\nstep_m = 50\nreach_m = 40\n"), HasSubstr("leaves no step"));
  EXPECT_THAT(plan_refused("[[plan.parking]]\nlayer = \"x\"\n"), HasSubstr("file"));
}

}  // namespace
}  // namespace sim
