// What cannot be told apart is said and held, and the places named would tell.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "sim/fit/identify.h"
#include "tests/support/temp_folder.h"
#include "tests/unit/fit/fitted_street.h"

namespace sim {
namespace {

using testing::Contains;

std::set<FitQuantity> group_of(const SurveyFit& fit, const FittedValue& value) {
  std::set<FitQuantity> group;
  for (const std::size_t k : value.held->group) group.insert(fit.values[k].unknown.quantity);
  return group;
}

TEST(ToldApart, AzimuthAndEirpOnOneBearingAreNotAndTheNamedPlacesTell) {
  const test::Street truth(test::street_with(test::sector(40.0, 3.0, 46.0)));
  test::Street street(test::street_with(test::sector(60.0, 3.0, 50.0)));
  const std::vector<Node> nodes = street.scene.nodes;
  Survey survey;
  for (double y = 15.0; y <= 80.0; y += 13.0) {  // due north, 60 degrees off the beam
    survey.measurements.push_back(test::measured(truth, 0.0, y, 0.0));
  }
  const SurveyFit first = test::fitted(street, survey);
  const FittedValue& azimuth = test::value_of(first, FitQuantity::azimuth);
  ASSERT_TRUE(azimuth.held);
  EXPECT_DOUBLE_EQ(azimuth.value, 60.0) << "held at the site's";
  EXPECT_THAT(group_of(first, azimuth), Contains(FitQuantity::eirp));
  ASSERT_GE(first.next.points.size(), 2U);
  for (const PointToMeasure& point : first.next.points) {
    survey.measurements.push_back(test::measured(truth, point.place.x_m, point.place.y_m, 0.0));
  }
  street.scene.nodes = nodes;
  const SurveyFit second = test::fitted(street, survey);
  const FittedValue& known = test::value_of(second, FitQuantity::azimuth);
  EXPECT_FALSE(known.held) << "after measuring where the first fit said";
  EXPECT_NEAR(known.value, 40.0, 1.0);  // no noise: the truth itself
  EXPECT_NEAR(test::value_of(second, FitQuantity::eirp).value, -4.0, 0.5);
}

TEST(ToldApart, VehicleLossNeedsARowOutside) {
  const test::Street truth(test::isotropic_site(7.0));
  test::Street street(test::isotropic_site(7.0));
  const std::vector<Node> nodes = street.scene.nodes;
  Survey survey;
  for (double y = 10.0; y <= 80.0; y += 10.0) {
    survey.measurements.push_back(test::measured(truth, 5.0, y, -4.0, ReceiverContext::in_vehicle));
  }
  const SurveyFit inside = test::fitted(street, survey);
  const FittedValue& vehicle = test::value_of(inside, FitQuantity::vehicle_offset);
  ASSERT_TRUE(vehicle.held);
  EXPECT_THAT(group_of(inside, vehicle), Contains(FitQuantity::eirp));
  for (double x = -80.0; x <= 80.0; x += 20.0) {
    survey.measurements.push_back(test::measured(truth, x, -10.0, 0.0));
  }
  street.scene.nodes = nodes;
  const SurveyFit both = test::fitted(street, survey);
  EXPECT_NEAR(test::value_of(both, FitQuantity::vehicle_offset).value, 4.0, 0.2);
  EXPECT_NEAR(test::value_of(both, FitQuantity::eirp).value, 0.0, 0.2);
}

TEST(ToldApart, WithoutALevelOnlyTheThresholdIsFound) {
  const test::Street truth(test::isotropic_site(7.0));
  test::Street street(test::isotropic_site(7.0));
  Survey survey;
  const double lets_go = *test::measured(truth, 40.0, 5.0, 0.0).rsrp_dbm;
  for (double x = -82.0; x <= 80.0; x += 4.0) {
    Measurement m = test::measured(truth, x, 5.0, 0.0);
    m.connected = *m.rsrp_dbm >= lets_go;
    m.rsrp_dbm.reset();
    survey.measurements.push_back(m);
  }
  const SurveyFit fit = test::fitted(street, survey);
  EXPECT_TRUE(test::value_of(fit, FitQuantity::eirp).held);
  EXPECT_NEAR(test::value_of(fit, FitQuantity::drop_level).value, lets_go, 1.5);
}

TEST(ToldApart, SingularInformationHoldsTheLeastNeeded) {
  // Two columns alike: closed form, the eigenvector of nothing is (1, -1) / sqrt 2.
  std::vector<Unknown> unknowns(2);
  unknowns[0] = {.quantity = FitQuantity::eirp, .known_within = 1.0};
  unknowns[1] = {.quantity = FitQuantity::azimuth, .known_within = 1.0};
  const Eigen::MatrixXd alike = Eigen::MatrixXd::Constant(2, 2, 50.0);
  std::vector<bool> free{true, true};
  const auto held = hold_unknown(unknowns, alike, 1.0, free);
  ASSERT_EQ(held.size(), 1U);
  EXPECT_EQ(held[0].unknown, 1U);
  EXPECT_EQ(held[0].group.size(), 2U);
  EXPECT_NEAR(deviations(unknowns, alike, 1.0, free)[0], 1.0 / std::sqrt(50.0), 1e-12);
}

TEST(ToldApart, NoRowIsARefusal) {
  test::Street street(test::isotropic_site(7.0));
  Survey survey;
  survey.measurements.emplace_back();
  const std::string line = refusal([&] { test::fitted(street, survey); });
  EXPECT_THAT(line, testing::HasSubstr("has no row to fit to: 1 row has no position"));
}

}  // namespace
}  // namespace sim
