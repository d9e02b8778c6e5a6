// Where a tester is sent, on streets with known answers.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "tests/support/planned_site.h"

namespace sim {
namespace {

using test::PlannedSite;
using test::straight_street;

PlanOptions short_reach() {
  return {
      .step_m = 30.0, .reach_m = 290.0, .count = {}, .controls = {}, .node = {}, .progress = {}};
}

TEST(Plan, StepsAreEqualUntilTwoBeyondTheEdge) {
  const PlannedSite site(straight_street(), short_reach());
  ASSERT_GE(site.plan.positions.size(), 4U);
  std::size_t beyond = 0;
  double before = 0.0;
  for (const PlannedPosition& p : site.plan.positions) {
    EXPECT_EQ(p.kind, PositionKind::step);
    EXPECT_NEAR(p.at.along_street_m - before, 30.0, 3.0);
    before = p.at.along_street_m;
    beyond += p.beyond_edge ? 1U : 0U;
    // Plane geometry: 5 m beside a street of the default 8 m, on a footway of 2 m.
    EXPECT_NEAR(std::abs(p.at.phone.y_m), 5.0, 1e-9);
    EXPECT_NEAR(p.at.phone.z_m, 1.5, 1e-6);
    EXPECT_TRUE(p.margin.at_least);
  }
  EXPECT_EQ(beyond, 2U);
  EXPECT_TRUE(site.plan.positions.back().beyond_edge);
}

TEST(Plan, TheWalkIsTheStreetUpToTheLastPosition) {
  const PlannedSite site(straight_street(), short_reach());
  const PlannedPosition& last = site.plan.positions.back();
  // Along the street, and 5 m out to each position and back, all but the last way back.
  const auto stops = static_cast<double>(site.plan.positions.size());
  EXPECT_NEAR(site.plan.route.length_m, last.at.foot.place.x + 5.0 * (2.0 * stops - 1.0), 1e-6);
  EXPECT_EQ(site.plan.route.reached_m.size(), site.plan.positions.size());
  EXPECT_EQ(site.plan.route.climb_m, 0.0);
}

TEST(Plan, AWidthInTheRecordMovesTheFootway) {
  ImportedSite wide = straight_street();
  wide.streets[0].width_m = 12.0;
  const PlannedSite by_width(wide, short_reach());
  for (const PlannedPosition& p : by_width.plan.positions) {
    EXPECT_NEAR(std::abs(p.at.phone.y_m), 7.0, 1e-9);  // 6 m to the kerb, 1 m on
    EXPECT_EQ(p.at.stand.placed_by, "record");
  }
  ImportedSite lanes = straight_street();
  lanes.streets[0].lanes = 4;
  const PlannedSite by_lanes(lanes, short_reach());
  EXPECT_NEAR(std::abs(by_lanes.plan.positions[0].at.phone.y_m), 2.0 * 3.25 + 1.0, 1e-9);
}

TEST(Plan, BetweenHousesTheFootwayIsBeforeTheHouse) {
  ImportedSite site = straight_street();
  for (const double side : {1.0, -1.0}) {
    site.buildings.push_back(test::box_building(side > 0 ? "north row" : "south row", 20,
                                                side > 0 ? 7.0 : -15.0, 280, side > 0 ? 15.0 : -7.0,
                                                12));
  }
  const PlannedSite planned(site, short_reach());
  ASSERT_FALSE(planned.plan.positions.empty());
  for (const PlannedPosition& p : planned.plan.positions) {
    EXPECT_GE(std::abs(p.at.phone.y_m), 4.0);
    EXPECT_LE(std::abs(p.at.phone.y_m), 6.5);
    EXPECT_EQ(p.at.stand.placed_by, "facade");
  }
}

TEST(Plan, ABlockedStreetGivesFewerPositionsAndSaysWhy) {
  ImportedSite site = straight_street();
  site.buildings.push_back(test::box_building("gatehouse", 100, -40, 110, 40, 30));
  const PlannedSite free(straight_street(), short_reach()), blocked(site, short_reach());
  EXPECT_LT(blocked.count(PositionKind::step), free.count(PositionKind::step));
  ASSERT_EQ(blocked.plan.gaps.size(), 1U);
  const StreetGap& gap = blocked.plan.gaps[0];
  EXPECT_EQ(gap.street, "Long Street");
  EXPECT_LT(gap.kept, gap.steps);
  bool named = false;
  for (const auto& reason : gap.reasons) {
    for (const std::string& thing : reason.things)
      named = named || thing == "gatehouse" || thing == "building gatehouse";
  }
  EXPECT_TRUE(named);
  for (const PlannedPosition& p : blocked.plan.positions) {
    if (p.kind == PositionKind::step) {
      EXPECT_LT(p.at.phone.x_m, 100.0);
    }
  }
}

TEST(Plan, ANodeWithoutSightOfAnyStreetSaysSo) {
  ImportedSite site = straight_street();
  site.nodes[0].height_agl_m = 3.0;
  // A yard wall 30 m high all round the node, who hangs in it.
  site.nodes[0].place = {0, 40};
  site.buildings.push_back(test::box_building("yard", -10, 30, 10, 50, 30));
  site.buildings[0].polygons[0].holes.push_back({{-9, 31}, {-9, 49}, {9, 49}, {9, 31}});
  const PlannedSite planned(site, short_reach());
  EXPECT_TRUE(planned.plan.positions.empty());
  EXPECT_TRUE(planned.notes_say("node is in sight of no footway"));
}

TEST(Plan, MarginIsTheDistanceToTheShadowsEdge) {
  // The shadow of the house's far corner (22, -3) seen from over (0, 0) is bounded by the line
  // y = -3/22 x: a place lies |y + 3/22 x| / sqrt(1 + (3/22)^2) from it (plane geometry).
  constexpr double slope = 3.0 / 22.0;
  ImportedSite site = straight_street(50.0);
  site.buildings.push_back(test::box_building("corner house", 20, -30, 22, -3, 30));
  const test::Street street(site);
  const FootprintIndex footprints(street.scene);
  for (const double x : {30.0, 36.0, 37.5, 50.0}) {
    EXPECT_EQ(in_sight(street.caster, 0, {x, -5.0, 1.5}), -5.0 > -slope * x) << x;
  }
  const ScenePoint phone{30.0, -3.5, 1.5};
  const double edge_m = (slope * 30.0 - 3.5) / std::hypot(1.0, slope);
  const SightMargin margin = sight_margin(street.caster, footprints, 0, phone, 1.5, 5.0);
  EXPECT_FALSE(margin.at_least);
  EXPECT_LE(margin.margin_m, edge_m);
  EXPECT_GT(margin.margin_m, edge_m - 0.11);
  // Towards the shadow: square to its edge, south by a little west.
  EXPECT_NEAR(margin.not_towards->degrees(), 180.0 + std::atan(slope) * 180.0 / 3.14159265, 12.0);
  EXPECT_EQ(street.scene.obstacles[margin.blocker].id, "corner house");
}

TEST(Plan, WaterAndParkedLorriesAreNoPlaceToStand) {
  ImportedSite site = straight_street();
  site.objects.push_back({.id = "lorry",
                          .kind = ObjectKind::truck,
                          .place = Xy{60, 5},
                          .length_m = 12,
                          .width_m = 2.5,
                          .height_m = 4,
                          .heading = Angle::degrees(90),
                          .material = "metal",
                          .source = {"town", "objects", 0}});
  WalkingMap map;
  map.avoid.push_back(
      {"pond", {{.shell = {{0, -20}, {300, -20}, {300, -4.5}, {0, -4.5}}, .holes = {}}}});
  const PlannedSite planned(site, short_reach(), map);
  ASSERT_FALSE(planned.plan.positions.empty());
  for (const PlannedPosition& p : planned.plan.positions) {
    if (p.kind == PositionKind::beyond) continue;
    EXPECT_GT(p.at.phone.y_m, 0.0) << p.id << " stands in the pond";
    EXPECT_FALSE(std::abs(p.at.phone.x_m - 60) < 6 && std::abs(p.at.phone.y_m - 5) < 1.25) << p.id;
  }
}

}  // namespace
}  // namespace sim
