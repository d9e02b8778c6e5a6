// Which pole the node hangs on.
#include <gtest/gtest.h>

#include "tests/unit/fit/fitted_street.h"

namespace sim {
namespace {

/// A crossing between four houses, with a lamp every 20 m on one side of the street.
ImportedSite crossing(double node_x) {
  ImportedSite site = test::street_with(test::sector(90.0, 3.0, 50.0));
  site.nodes[0].place = {node_x, -5.0};
  for (const double x : {-70.0, -15.0, 25.0, 70.0}) {
    site.buildings.push_back(
        test::box_building("north " + std::to_string(x), x, 8, x + 15, 30, 12));
    site.buildings.push_back(
        test::box_building("south " + std::to_string(x), x, -30, x + 15, -8, 12));
  }
  for (int i = -4; i <= 4; ++i) {
    site.poles.push_back({.id = "lamp " + std::to_string(i),
                          .place = {20.0 * i, -5.0},
                          .height_m = 8.0,
                          .diameter_m = 0.2,
                          .source = {"poles", "", i + 4}});
  }
  return site;
}

TEST(FitPosition, FindsThePoleAndMovesTheNode) {
  const test::Street truth(crossing(40.0));
  test::Street street(crossing(-20.0));
  Survey survey;
  std::mt19937_64 random(11);
  std::normal_distribution noise(0.0, 3.0);
  for (double x = -78.0; x <= 78.0; x += 6.0) {
    survey.measurements.push_back(test::measured(truth, x, 4.0, noise(random)));
  }
  for (double y = 12.0; y <= 60.0; y += 8.0) {  // up the side street
    survey.measurements.push_back(test::measured(truth, 5.0, y, noise(random)));
  }
  const SurveyFit fit = fit_survey(street.scene, street.caster, survey, {"site.toml", "", -1},
                                   {.radius_m = 200.0, .search_position = NodeIndex{0}});
  ASSERT_TRUE(fit.position);
  EXPECT_TRUE(fit.position->by_poles);
  EXPECT_EQ(fit.position->ranking.front().place.id, "lamp 2");
  EXPECT_TRUE(fit.position->moved);
  EXPECT_NEAR(street.scene.nodes[0].position.x_m, truth.scene.nodes[0].position.x_m, 1e-6);
  EXPECT_EQ(street.scene.nodes[0].own_poles, truth.scene.nodes[0].own_poles);
  double all = 0.0;
  for (const RankedPlace& place : fit.position->ranking) all += place.likelihood;
  EXPECT_NEAR(all, 1.0, 1e-9);
  EXPECT_LT(fit.unseen.after.mean_abs_db, fit.unseen.before.mean_abs_db);
}

TEST(FitPosition, ARightPlaceStays) {
  const test::Street truth(crossing(40.0));
  test::Street street(crossing(40.0));
  Survey survey;
  std::mt19937_64 random(12);
  std::normal_distribution noise(0.0, 3.0);
  for (double x = -78.0; x <= 78.0; x += 6.0) {
    survey.measurements.push_back(test::measured(truth, x, 4.0, noise(random)));
  }
  const SurveyFit fit = fit_survey(street.scene, street.caster, survey, {"site.toml", "", -1},
                                   {.radius_m = 200.0, .search_position = NodeIndex{0}});
  EXPECT_FALSE(fit.position->moved);
  EXPECT_EQ(street.scene.nodes[0].position, truth.scene.nodes[0].position);
}

TEST(FitPosition, WithoutPolesItLooksAlongTheStreets) {
  ImportedSite site = crossing(40.0);
  site.poles.clear();
  site.streets.push_back({.id = "s", .name = "Larkspur Rise", .line = {{-80.0, 0.0}, {80.0, 0.0}}});
  const test::Street street(site);
  bool by_poles = true;
  const auto places =
      node_places(street.scene, 0, {street.scene.nodes[0].position}, 30.0, by_poles);
  EXPECT_FALSE(by_poles);
  EXPECT_EQ(places.front().id, "site");
  EXPECT_EQ(places.size(), 1U + 5U);  // x = 20 .. 60: within 30 m of the row, 5 m off the line
}

}  // namespace
}  // namespace sim
