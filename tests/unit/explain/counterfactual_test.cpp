// What things cost, against scenes rebuilt without them.
#include "sim/explain/counterfactual.h"

#include <gtest/gtest.h>

#include "tests/support/street.h"

namespace sim {
namespace {

ObjectRecord truck(const std::string& id, double x) {
  ObjectRecord object;
  object.id = id;
  object.kind = ObjectKind::truck;
  object.place = Xy{x, 0.0};
  object.length_m = 8.0;
  object.width_m = 2.5;
  object.height_m = 3.5;
  object.heading = Angle::degrees(0.0);
  object.material = "metal";
  object.source = {"town", "objects", 0};
  return object;
}

TEST(Counterfactual, IsTheLevelOfTheSceneWithoutTheThing) {
  ImportedSite site = test::isotropic_site();
  site.objects.push_back(truck("truck 1", 55.0));
  site.trees.push_back({.id = "tree 1",
                        .place = {30.0, 0.0},
                        .height_m = 7.0,
                        .crown_diameter_m = 5.0,
                        .species_class = "broadleaf",
                        .source = {"town", "trees", 0}});
  const ScenePoint phone{60.0, 0.0, 1.5};
  const test::Street both(site);
  ImportedSite lighter = site;
  lighter.objects.clear();
  const test::Street no_truck(lighter);
  lighter = site;
  lighter.trees.clear();
  const test::Street no_tree(lighter);
  const LinkResult link = both.link(phone);
  const auto costs = ranked_costs(both.caster, link, both.settings);
  ASSERT_EQ(costs.size(), 2U);  // crown and trunk are one tree
  for (const Cost& cost : costs) {
    const test::Street& without_it = cost.cause == Cause::vehicle ? no_truck : no_tree;
    EXPECT_NEAR(cost.cost.value, (without_it.link(phone).rsrp - link.rsrp).value, 1e-9);
    EXPECT_EQ(both.scene.obstacles[cost.obstacle].id,
              cost.cause == Cause::vehicle ? "truck 1" : "tree 1");
  }
  for (const Cost& cost : costs) {  // each by itself, the other in its place
    EXPECT_NEAR(cost_of_record(both.caster, link, cost.obstacle, both.settings).value,
                cost.cost.value, 1e-9);
  }
  EXPECT_EQ(costs[0].cause, Cause::vehicle);
  EXPECT_GE(costs[0].cost, costs[1].cost);
}

TEST(Counterfactual, OfTwoWallsThatStandInForEachOtherThePairCosts) {
  ImportedSite site = test::isotropic_site();
  site.buildings.push_back(test::box_building("near", 29, -40, 31, 40, 20));
  site.buildings.push_back(test::box_building("far", 32, -40, 34, 40, 20));
  const test::Street street(site);
  const LinkResult link = street.link({60.0, 0.0, 1.5});
  const auto costs = ranked_costs(street.caster, link, street.settings);
  ASSERT_FALSE(costs.empty());
  EXPECT_EQ(costs[0].cause, Cause::building);
  const test::Street open{test::isotropic_site()};
  EXPECT_NEAR(costs[0].cost.value, (open.link({60.0, 0.0, 1.5}).rsrp - link.rsrp).value, 1e-9);
  // Either of them would do, so neither costs what both do.
  EXPECT_LT(cost_of_record(street.caster, link, costs[0].obstacle, street.settings).value,
            0.5 * costs[0].cost.value);
  EXPECT_NE(costs[0].obstacle, no_obstacle);
}

TEST(Counterfactual, NothingInTheWayCostsNothing) {
  const test::Street street{test::isotropic_site()};
  EXPECT_TRUE(ranked_costs(street.caster, street.link({60.0, 0.0, 1.5}), street.settings).empty());
}

TEST(Counterfactual, WhatThePhoneIsInIsACost) {
  const test::Street street{test::isotropic_site()};
  const LinkResult inside = street.link({60.0, 0.0, 1.5}, ReceiverContext::in_vehicle);
  const auto costs = ranked_costs(street.caster, inside, street.settings);
  ASSERT_EQ(costs.size(), 1U);
  EXPECT_EQ(costs[0].cause, Cause::enclosure);
  EXPECT_NEAR(costs[0].cost.value, (street.link({60.0, 0.0, 1.5}).rsrp - inside.rsrp).value, 1e-9);
}

}  // namespace
}  // namespace sim
