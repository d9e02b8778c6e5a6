// What counts as seen: the rule of the file contract on simple bodies.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/street.h"

namespace sim {
namespace {

PoleRecord pole(double x_m, double diameter_m) {
  return {.id = "post", .place = {x_m, 0.0}, .height_m = 9.0, .diameter_m = diameter_m};
}

TEST(SightRule, ThinPoleIsOlosAndThickOneNlos) {
  // First zone, full width at 50 m of 100 m and 28 GHz: 2 x 0.517 m (P.526, exact form).
  ImportedSite thin = test::isotropic_site(), thick = test::isotropic_site();
  thin.poles.push_back(pole(50.0, 0.9));
  thick.poles.push_back(pole(50.0, 1.3));
  EXPECT_EQ(test::Street(thin).link({100.0, 0.0, 1.5}).sight, Sight::olos);
  EXPECT_EQ(test::Street(thick).link({100.0, 0.0, 1.5}).sight, Sight::nlos);
}

TEST(SightRule, FoliageAloneIsOlos) {
  ImportedSite site = test::isotropic_site(5.0);
  site.trees.push_back(
      {.id = "t", .place = {50.0, 1.0}, .height_m = 8.0, .species_class = "broadleaf"});
  const LinkResult link = test::Street(site).link({100.0, 0.0, 5.0});
  EXPECT_EQ(link.sight, Sight::olos);
  EXPECT_EQ(link.cause, Cause::foliage);
}

TEST(SightRule, AnEdgeInsideSixTenthsOfTheZoneIsOlos) {
  // A wall beside the path at 50 m of 100 m: 0.6 of the first zone is 0.310 m (P.526).
  const auto sight_beside = [](double gap_m) {
    ImportedSite site = test::isotropic_site(6.0);
    site.buildings.push_back(test::box_building("b", 45, gap_m, 55, 30, 20));
    return test::Street(site).link({100.0, 0.0, 6.0}).sight;
  };
  EXPECT_EQ(sight_beside(0.34), Sight::los);
  EXPECT_EQ(sight_beside(0.28), Sight::olos);
  EXPECT_EQ(sight_beside(-0.05), Sight::nlos);
}

TEST(SightRule, InsideOneCanopyTheWholeWayIsFoliage) {
  // Both ends in a wood 9 m high: no surface is met, yet all 60 m are foliage (Weissberger 1982:
  // 1.33 x 28^0.284 x 60^0.588 dB).
  ImportedSite site = test::isotropic_site(6.0);
  site.woodlands.push_back({.id = "wood",
                            .polygons = {{.shell = {{-20, -20}, {80, -20}, {80, 20}, {-20, 20}}}},
                            .height_m = 9.0,
                            .species_class = "broadleaf"});
  const LinkResult link = test::Street(site).link({60.0, 0.0, 6.0});
  EXPECT_EQ(link.sight, Sight::olos);
  EXPECT_NEAR(link.sum(TermGroup::foliage).value,
              1.33 * std::pow(28.0, 0.284) * std::pow(60.0, 0.588), 0.01);
}

TEST(SightRule, APoleBesideTheRayHidesNoWall) {
  ImportedSite site = test::isotropic_site(6.0);
  site.buildings.push_back(test::box_building("b", 45, 0.1, 55, 30, 20));
  const auto wall_db = [&] {
    Db sum;
    for (const LossTerm& term : test::Street(site).link({100.0, 0.0, 6.0}).terms) {
      if (term.cause == Cause::building) sum += term.loss;
    }
    return sum.value;
  };
  const double wall = wall_db();
  EXPECT_GT(wall, 3.0);
  site.poles.push_back({.id = "post", .place = {50.0, -0.15}, .height_m = 9.0, .diameter_m = 0.2});
  EXPECT_NEAR(wall_db(), wall, 1e-9);
}

TEST(SightRule, ConifersKeepTheirNeedles) {
  ImportedSite site = test::isotropic_site(5.0);
  site.trees.push_back(
      {.id = "t", .place = {50.0, 0.5}, .height_m = 8.0, .species_class = "conifer"});
  test::Street street(site);
  const double summer = street.link({100.0, 0.0, 6.5}).sum(TermGroup::foliage).value;
  street.settings.leaf_on = false;
  EXPECT_NEAR(street.link({100.0, 0.0, 6.5}).sum(TermGroup::foliage).value, summer, 1e-9);
}

TEST(SightRule, LeavesOffCostsLess) {
  ImportedSite site = test::isotropic_site(5.0);
  site.trees.push_back(
      {.id = "t", .place = {50.0, 0.5}, .height_m = 8.0, .species_class = "broadleaf"});
  test::Street street(site);
  const double in_leaf = street.link({100.0, 0.0, 6.5}).sum(TermGroup::foliage).value;
  street.settings.leaf_on = false;
  const double bare = street.link({100.0, 0.0, 6.5}).sum(TermGroup::foliage).value;
  EXPECT_GT(in_leaf, 1.0);
  EXPECT_NEAR(bare, 0.5 * in_leaf, 1e-9);  // assets/defaults.csv, leaf_off_share
}

TEST(SightRule, MoreStandingInTheWayNeverCostsLess) {
  // Each thing added to the path can only raise the loss: physics of absorbing bodies in this
  // model.
  ImportedSite site = test::isotropic_site();
  double before = test::Street(site).link({120.0, 0.0, 1.5}).path_loss().value;
  for (const double x : {30.0, 60.0, 90.0}) {
    site.poles.push_back(pole(x, 0.3));
    site.poles.back().id += std::to_string(static_cast<int>(x));
    const double with = test::Street(site).link({120.0, 0.0, 1.5}).path_loss().value;
    EXPECT_GE(with, before - 1e-9);
    before = with;
  }
}

}  // namespace
}  // namespace sim
