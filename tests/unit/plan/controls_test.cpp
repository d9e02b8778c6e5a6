// Controls, the few that tell most, and how often to read.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>
#include <set>

#include "sim/plan/repeats.h"
#include "sim/plan/telling.h"
#include "tests/support/planned_site.h"

namespace sim {
namespace {

using test::PlannedSite;
using test::straight_street;

PlanOptions with(std::vector<std::string> controls, std::optional<std::size_t> count = {}) {
  return {.step_m = 30.0,
          .reach_m = 290.0,
          .count = count,
          .controls = std::move(controls),
          .node = {},
          .progress = {}};
}

ImportedSite street_with_lamp() {
  ImportedSite site = straight_street(46.0);
  site.poles.push_back({.id = "lamp 1",
                        .place = {60.0, 4.6},
                        .height_m = 8.0,
                        .diameter_m = 0.3,
                        .source = {"town", "poles", 0}});
  return site;
}

TEST(Controls, APairDiffersInOneObstacleAlone) {
  const PlannedSite site(street_with_lamp(), with({"pairs"}));
  const PlannedPosition* clear = site.with_kind(PositionKind::pair_clear);
  const PlannedPosition* blocked = site.with_kind(PositionKind::pair_blocked);
  ASSERT_TRUE(clear != nullptr && blocked != nullptr);
  EXPECT_EQ(clear->partner, blocked->id);
  EXPECT_EQ(blocked->partner, clear->id);
  EXPECT_TRUE(clear->at.sight);
  EXPECT_FALSE(blocked->at.sight);
  const double d = horizontal_distance_m({0, 0, 0}, clear->at.phone);
  EXPECT_NEAR(d, horizontal_distance_m({0, 0, 0}, blocked->at.phone), 0.05 * d);
  EXPECT_NE(blocked->why.find("lamp 1"), std::string::npos);
  // On the straight line from the node through the lamp, right behind it.
  EXPECT_NEAR(blocked->at.phone.y_m / blocked->at.phone.x_m, 4.6 / 60.0, 1e-3);
  EXPECT_GT(blocked->at.phone.x_m, 60.0);
  EXPECT_LT(blocked->at.link->rsrp, clear->at.link->rsrp);
}

TEST(Controls, BehindTheCrestAndOnIt) {
  // A ridge 12 m high across the street at x = 100 m, 12 % steep: from a node 6 m up the far slope
  // is dark from the crest on, as it falls faster than any ray from below can.
  ImportedSite site = straight_street(46.0);
  HeightGrid& ground = site.ground;
  ground.spec = {-40.0, 40.0, 2.0, 2.0, 190, 40};
  for (int row = 0; row < ground.spec.rows; ++row) {
    for (int col = 0; col < ground.spec.cols; ++col) {
      ground.values.push_back(static_cast<float>(
          std::max(0.0, 12.0 - 0.12 * std::abs(ground.spec.center_x_m(col) - 100.0))));
    }
  }
  const PlannedSite planned(site, with({"pairs"}));
  const PlannedPosition* clear = planned.with_kind(PositionKind::pair_clear);
  const PlannedPosition* blocked = planned.with_kind(PositionKind::pair_blocked);
  ASSERT_TRUE(clear != nullptr && blocked != nullptr);
  EXPECT_NE(blocked->why.find("behind the crest"), std::string::npos) << blocked->why;
  EXPECT_NE(clear->why.find("on the crest"), std::string::npos);
  EXPECT_LE(clear->at.phone.x_m, 112.0);
  EXPECT_GT(blocked->at.phone.x_m, 105.0);
  EXPECT_LT(blocked->at.phone.x_m - clear->at.phone.x_m, 60.0);
  // The walk climbs the ridge once.
  EXPECT_NEAR(planned.plan.route.climb_m, 12.0, 1.0);
}

TEST(Controls, NoObstacleNoPairAndItSaysSo) {
  const PlannedSite site(straight_street(), with({"pairs"}));
  EXPECT_EQ(site.count(PositionKind::pair_blocked), 0U);
  EXPECT_TRUE(site.notes_say("no matched pair"));
}

TEST(Controls, ACarStandsOnMappedParkingOrIsToBeVerified) {
  WalkingMap map;
  map.parking.push_back({.id = "bays", .polygons = {}, .line = {{80, -9}, {95, -9}}});
  const PlannedSite mapped(straight_street(46.0), with({"in_car"}), map);
  const PlannedPosition* seat = mapped.with_kind(PositionKind::in_car);
  ASSERT_NE(seat, nullptr);
  EXPECT_EQ(seat->at.stand.placed_by, "mapped parking");
  EXPECT_NEAR(seat->at.phone.y_m, -9.0, 1e-9);
  EXPECT_EQ(seat->at.context, ReceiverContext::in_vehicle);

  const PlannedSite unmapped(straight_street(46.0), with({"in_car"}));
  const PlannedPosition* kerb = unmapped.with_kind(PositionKind::in_car);
  ASSERT_NE(kerb, nullptr);
  EXPECT_NE(kerb->note.find("only if you see that parking is legal"), std::string::npos);
  // At the kerb: the car's far side leaves a lane of 2.5 m from the middle's other side.
  const double car_inside = std::abs(kerb->at.phone.y_m) - 0.9;
  EXPECT_GE(car_inside + 4.0, 2.5);
  EXPECT_LE(std::abs(kerb->at.phone.y_m) + 0.9, 4.0);
  // TR 38.901 section 7.4.3.2: a car takes 9 dB in the median; here less the 0.3 m it is lower.
  const PlannedPosition* step = unmapped.with_kind(PositionKind::step);
  EXPECT_LT(kerb->at.link->rsrp.value + 20.0 * std::log10(kerb->at.link->distance_3d_m),
            step->at.link->rsrp.value + 20.0 * std::log10(step->at.link->distance_3d_m) - 5.0);
}

TEST(Controls, OffTheSideNeedsASide) {
  const PlannedSite round(straight_street(), with({"off_side"}));
  EXPECT_EQ(round.count(PositionKind::off_side), 0U);
  EXPECT_TRUE(round.notes_say("off its sectors' side"));
  ImportedSite one = straight_street(55.0);
  one.nodes[0].sectors[0].pattern = "3gpp-element";
  one.nodes[0].sectors[0].azimuth = Angle::degrees(0);  // north, the street runs east
  const PlannedSite sided(one, with({"off_side"}));
  const PlannedPosition* off = sided.with_kind(PositionKind::off_side);
  ASSERT_NE(off, nullptr);
  // TR 38.901 Table 7.3-1: 12 (90/65)^2 = 23 dB at 90 degrees, less nearer to the boresight.
  EXPECT_LE(off->at.link->pattern.value, -10.0);
}

TEST(ChooseFew, EightCoverTheWayAndReachBeyondTheEdge) {
  PlanOptions all = with({}), eight = with({}, 8U);
  all.step_m = eight.step_m = 15.0;
  const PlannedSite every(straight_street(), all), few(straight_street(), eight);
  ASSERT_GT(every.plan.positions.size(), 8U);
  ASSERT_EQ(few.plan.positions.size(), 8U);
  EXPECT_EQ(few.plan.chosen_from, every.plan.positions.size());
  double edge = 0.0;
  for (const PlannedPosition& p : every.plan.positions) {
    if (!p.beyond_edge) edge = std::max(edge, p.at.phone.x_m);
  }
  std::array<int, 4> bands{};
  for (const PlannedPosition& p : few.plan.positions) {
    EXPECT_NE(p.why.find("one of the 8"), std::string::npos);
    ++bands[p.beyond_edge
                ? 3U
                : std::min<std::size_t>(2U, static_cast<std::size_t>(3.0 * p.at.phone.x_m / edge))];
  }
  for (const int band : bands) EXPECT_GE(band, 1);
  EXPECT_EQ(bands[3], 2);
}

TEST(Telling, GainIsTheGrowthOfTheDeterminant) {
  // Matrix determinant lemma: det(A + j j') = det(A) (1 + j' A^-1 j).
  Eigen::MatrixXd known(2, 2);
  known << 2.0, 0.3, 0.3, 1.0;
  Eigen::VectorXd j(2);
  j << 0.7, -1.2;
  InformationGrowth growth(known);
  const double before = known.determinant();
  const double after = (known + j * j.transpose()).determinant();
  EXPECT_NEAR(after / before, 1.0 + growth.gain(j), 1e-12);
  growth.add(j);
  EXPECT_NEAR(growth.deviations()[0], std::sqrt((known + j * j.transpose()).inverse()(0, 0)),
              1e-12);
}

TEST(Repeats, FollowTheirFormulas) {
  const Defaults d = test::empty_site().defaults;
  LinkResult link;
  // Proportion: 0.5 * 0.5 * 1.96^2 / 0.3^2 = 10.67, rounded up (Cochran 1977, from memory).
  link.p_hold = 0.5;
  EXPECT_EQ(repeats_for(link, d, {}).count, 11U);
  // Mean: (1.96 * 3 / 2.5)^2 = 5.5, rounded up; a median needs six as well (1 - 2 / 2^6 > 0.95).
  link.p_hold = 1.0;
  EXPECT_EQ(repeats_for(link, d, {}).count, 6U);
  // Two samples: 2 (1.96 + 0.8416)^2 9 / 2^2 = 35.3, rounded up (Cohen 1988, from memory).
  EXPECT_EQ(repeats_for(link, d, 2.0).count, 36U);
}

}  // namespace
}  // namespace sim
