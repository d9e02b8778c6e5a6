// Streets walked from the node outward and back.
#include <gtest/gtest.h>

#include <cmath>

#include "sim/base/parallel.h"
#include "sim/predict/drops.h"
#include "tests/support/street.h"

namespace sim {
namespace {

struct Walked {
  Walked(const ImportedSite& site, double radius_m, double spacing_m = 1.0) : street(site) {
    walks = walk_streets(street.caster, street.settings,
                         {.spacing_m = spacing_m, .radius_m = radius_m});
    verdicts = judge_walks(street.scene, walks, street.settings);
  }
  std::vector<DropStretch> drops(WalkDirection direction) const {
    std::vector<DropStretch> found;
    for (const DropStretch& drop : verdicts.drops) {
      if (drop.direction == direction) found.push_back(drop);
    }
    return found;
  }
  test::Street street;
  std::vector<StreetWalk> walks;
  StreetVerdicts verdicts;
};

/// The node's foot is 60 m up Back Lane, 40 m off; a wall 20 m wide stands half way.
ImportedSite lane_behind_a_wall() {
  ImportedSite site = test::isotropic_site(3.0);
  site.nodes[0].sectors[0].eirp = Dbm(50.0);
  site.buildings.push_back(test::box_building("wall", 19.5, -10, 20.5, 10, 30));
  site.streets.push_back({.id = "way 1", .name = "Back Lane", .line = {{40, -60}, {40, 60}}});
  return site;
}

TEST(Streets, TheStretchBehindAWallIsNamedFromTheNode) {
  // By similar triangles the wall's shadow on the lane reaches 20 m to either side of the foot.
  const Walked walked(lane_behind_a_wall(), 90.0);
  ASSERT_EQ(walked.walks.size(), 1U);
  EXPECT_NEAR(walked.walks[0].off_street_m, 40.0, 1e-6);
  const auto drops = walked.drops(WalkDirection::outward);
  ASSERT_EQ(drops.size(), 2U);  // one on each side of the foot
  for (const DropStretch& drop : drops) {
    EXPECT_EQ(drop.side.street, "Back Lane");
    EXPECT_EQ(drop.cause, Cause::building);
    EXPECT_EQ(walked.street.scene.obstacles[drop.cause_obstacle].id, "wall");
    EXPECT_EQ(drop.from_m, 0.0);
    EXPECT_GT(std::abs(drop.to_m), 12.0);
    EXPECT_LT(std::abs(drop.to_m), 22.0);
    EXPECT_GT(drop.probability, 0.9);
    EXPECT_FALSE(drop.open_end);
  }
  EXPECT_GT(drops[0].to_m, 0.0);
  EXPECT_LT(drops[1].to_m, 0.0);
}

TEST(Streets, AStretchIsNotCutWhereTheMapCutsTheStreet) {
  ImportedSite site = lane_behind_a_wall();
  site.streets.clear();
  // In three ways, out of order, one turned round; the ends of two miss each other by 0.5 m.
  site.streets.push_back({.id = "way 3", .name = "Back Lane", .line = {{40, 60}, {40, 5.5}}});
  site.streets.push_back({.id = "way 1", .name = "Back Lane", .line = {{40, -60}, {40, -9}}});
  site.streets.push_back({.id = "way 2", .name = "Back Lane", .line = {{40, -9}, {40, 5}}});
  const Walked cut(site, 90.0), whole(lane_behind_a_wall(), 90.0);
  ASSERT_EQ(cut.walks.size(), 1U);
  const auto a = cut.drops(WalkDirection::outward), b = whole.drops(WalkDirection::outward);
  ASSERT_EQ(a.size(), b.size());
  for (const DropStretch& drop : a) {
    const DropStretch& same = drop.to_m * b[0].to_m < 0.0 ? b[1] : b[0];
    EXPECT_NEAR(std::abs(drop.to_m), std::abs(same.to_m), 1.0);
  }
}

ImportedSite long_street(double eirp_dbm = 46.0) {
  ImportedSite site = test::isotropic_site(6.0);
  site.nodes[0].sectors[0].eirp = Dbm(eirp_dbm);
  site.streets.push_back({.id = "way 1", .name = "Long Street", .line = {{0, 5}, {600, 5}}});
  return site;
}

TEST(Streets, OutwardDropsLaterThanInwardRegains) {
  // Free space (P.525): 2 dB of hysteresis are a factor 10^(2/20) = 1.259 of distance.
  const Walked walked(long_street(), 600.0);
  const auto outward = walked.drops(WalkDirection::outward);
  const auto inward = walked.drops(WalkDirection::inward);
  ASSERT_EQ(outward.size(), 1U);
  ASSERT_EQ(inward.size(), 1U);
  EXPECT_NEAR(outward[0].from_m / inward[0].from_m, std::pow(10.0, 0.1), 0.01);
  EXPECT_EQ(outward[0].cause, Cause::distance);
  EXPECT_TRUE(outward[0].open_end);
  // Common practice, no source: in sight the edge lies a little beyond 275-305 m.
  ASSERT_EQ(walked.verdicts.reaches.size(), 1U);
  EXPECT_GT(walked.verdicts.reaches[0].to_m, 305.0);
  EXPECT_LT(walked.verdicts.reaches[0].to_m, 450.0);
}

TEST(Streets, TheEdgesIntervalHasTheEdgeInIt) {
  const Walked walked(long_street(), 600.0);
  const StreetReach& reach = walked.verdicts.reaches.at(0);
  EXPECT_LT(reach.to_interval.low, reach.to_m);
  EXPECT_GT(reach.to_interval.high, reach.to_m - 60.0);
  EXPECT_GT(reach.to_interval.high - reach.to_interval.low, 5.0);
  // No shadowing, no spread: the draws are the prediction.
  ImportedSite sure = long_street();
  for (const char* name : {"shadow_sigma_los_db", "shadow_sigma_nlos_db"}) {
    sure.defaults.set({.name = name, .value = 0.0, .source = "test"});
  }
  const Walked certain(sure, 600.0);
  const DropStretch drop = certain.drops(WalkDirection::outward).at(0);
  EXPECT_DOUBLE_EQ(drop.from_interval.low, drop.from_m);
  EXPECT_DOUBLE_EQ(drop.from_interval.high, drop.from_m);
  EXPECT_DOUBLE_EQ(drop.probability, 1.0);
}

TEST(Streets, ShadowsEdgeIsAStepOrTwo) {
  // Common practice, no source: 1.5-3 m of movement are often enough to lose or regain the link at
  // an edge. Behind the corner of a building the level falls by more than the hysteresis within 3
  // m.
  ImportedSite site = lane_behind_a_wall();
  const test::Street street(site);
  bool found = false;
  for (double y = 10.0; y < 30.0; y += 0.5) {
    const double inside = street.link({40.0, y, 1.5}).rsrp.value;
    const double outside = street.link({40.0, y + 3.0, 1.5}).rsrp.value;
    found = found || outside - inside > 2.0;
  }
  EXPECT_TRUE(found);
}

TEST(Streets, AreTheSameOnAnyNumberOfThreads) {
  ImportedSite site = test::town(3, {.blocks = 3});
  for (int k = -1; k <= 1; ++k) {
    site.streets.push_back({.id = "way " + std::to_string(k),
                            .name = "Street " + std::to_string(k),
                            .line = {{60.0 * k, -90}, {60.0 * k, 90}}});
  }
  site.nodes[0].sectors = test::isotropic_site().nodes[0].sectors;
  set_thread_count(1);
  const Walked one(site, 120.0, 2.0);
  set_thread_count(0);
  const Walked all(site, 120.0, 2.0);
  ASSERT_EQ(one.verdicts.drops.size(), all.verdicts.drops.size());
  ASSERT_FALSE(one.verdicts.drops.empty());
  for (std::size_t i = 0; i < one.verdicts.drops.size(); ++i) {
    const DropStretch &a = one.verdicts.drops[i], &b = all.verdicts.drops[i];
    EXPECT_EQ(a.from_m, b.from_m);
    EXPECT_EQ(a.probability, b.probability);
    EXPECT_TRUE(a.to_interval.high == b.to_interval.high || std::isnan(a.to_interval.high));
  }
}

}  // namespace
}  // namespace sim
