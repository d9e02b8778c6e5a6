// Known truth with seeded noise: is it inside the stated interval as often as stated?
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/unit/fit/fitted_street.h"

namespace sim {
namespace {

constexpr int draws = 40;
constexpr double true_azimuth = 60.0, true_tilt = 9.0, true_offset = -6.0;

/// How many of the draws have the truth of each quantity inside their interval.
struct Inside {
  int azimuth = 0, downtilt = 0, eirp = 0;
};

template <class Stray>
Inside count_inside(Stray stray) {
  SectorRecord told = test::sector(40.0, 4.0, 50.0, "narrow.csv");
  told.table = test::narrow_beam();
  SectorRecord is = told;
  is.azimuth = Angle::degrees(true_azimuth);
  is.downtilt = Angle::degrees(true_tilt);
  is.eirp = Dbm(50.0 + true_offset);
  const test::Street truth(test::street_with(is));
  test::Street street(test::street_with(told));
  const std::vector<Node> nodes = street.scene.nodes;
  const auto places = test::spiral(60);
  Inside inside;
  for (int draw = 0; draw < draws; ++draw) {
    std::mt19937_64 random(static_cast<std::uint64_t>(draw) + 1);
    Survey survey;
    for (std::size_t i = 0; i < places.size(); ++i) {
      survey.measurements.push_back(
          test::measured(truth, places[i].x_m, places[i].y_m, stray(random, i, places)));
    }
    street.scene.nodes = nodes;
    const SurveyFit fit = test::fitted(street, survey);
    const auto holds = [&](FitQuantity quantity, double value) {
      const FittedValue& found = test::value_of(fit, quantity);
      return !found.held && found.low <= value && value <= found.high ? 1 : 0;
    };
    inside.azimuth += holds(FitQuantity::azimuth, true_azimuth);
    inside.downtilt += holds(FitQuantity::downtilt, true_tilt);
    inside.eirp += holds(FitQuantity::eirp, true_offset);
  }
  std::printf("of %d draws inside the 90 %% interval: azimuth %d, downtilt %d, EIRP %d\n", draws,
              inside.azimuth, inside.downtilt, inside.eirp);
  return inside;
}

void expect_most(const Inside& inside) {
  constexpr int most = draws * 85 / 100;
  EXPECT_GE(inside.azimuth, most);
  EXPECT_GE(inside.downtilt, most);
  EXPECT_GE(inside.eirp, most);
}

TEST(FitTruth, LiesInsideTheIntervalUnderNormalNoise) {
  expect_most(count_inside([](std::mt19937_64& random, std::size_t, const auto&) {
    return std::normal_distribution(0.0, 3.0)(random);
  }));
}

TEST(FitTruth, OneRowInTenFarOffDoesNotMoveIt) {
  expect_most(count_inside([](std::mt19937_64& random, std::size_t i, const auto&) {
    const double noise = std::normal_distribution(0.0, 3.0)(random);
    return i % 10 == 7 ? noise - 25.0 : noise;  // an unmapped van stands before those
  }));
}

TEST(FitTruth, ShadowingSharedByNeighboursIsAllowedFor) {
  // Gauss-Markov along the order of the spiral; correlation of TR 38.901 section 7.4.4.
  double shadow = 0.0;
  expect_most(count_inside([&](std::mt19937_64& random, std::size_t i, const auto& places) {
    std::normal_distribution unit(0.0, 1.0);
    const double rho =
        i == 0 ? 0.0 : shadow_correlation(horizontal_distance_m(places[i - 1], places[i]), 10.0);
    shadow = rho * shadow + std::sqrt(1.0 - rho * rho) * unit(random);
    return 4.0 * shadow + 2.0 * unit(random);
  }));
}

TEST(FitTruth, ADenseWalkIsWorthFewRows) {
  // A walk of 1 m steps: the level of an isotropic node, off by 5 dB, under shadowing of 4 dB that
  // forgets itself over 10 m. Taken as independent, 120 rows would give +-0.6 dB.
  const test::Street truth(test::isotropic_site(7.0));
  ImportedSite told_site = test::isotropic_site(7.0);
  told_site.nodes[0].sectors[0].eirp = Dbm(50.0);
  test::Street street(told_site);
  const std::vector<Node> nodes = street.scene.nodes;
  int inside = 0;
  for (std::uint64_t draw = 0; draw < draws; ++draw) {
    ShadowDraws shadows(7, draw);
    std::vector<ShadowPlace> walk(120, {.step_m = 1.0, .shadowing = {Db(4.0), 10.0}, .spread = {}});
    const std::vector<Db> strays = shadows.next(walk);
    Survey survey;
    std::mt19937_64 random(draw);
    std::normal_distribution read(0.0, 3.0);  // of the phone
    for (std::size_t i = 0; i < strays.size(); ++i) {
      const double x = -60.0 + static_cast<double>(i);
      const double stray = strays[i].value + read(random);
      survey.measurements.push_back(test::measured(truth, x, 12.0, stray));
    }
    street.scene.nodes = nodes;
    const SurveyFit fit = test::fitted(street, survey);
    const FittedValue& eirp = test::value_of(fit, FitQuantity::eirp);
    inside += eirp.low <= 5.0 && 5.0 <= eirp.high ? 1 : 0;
    EXPECT_LT(fit.effective_rows, 30.0);
    EXPECT_GT(eirp.high - eirp.low, 1.2);
  }
  std::printf("dense walk: %d of %d inside\n", inside, draws);
  EXPECT_GE(inside, draws * 85 / 100);
}

TEST(FitTruth, AWrongWayRoundIsFound) {
  const test::Street truth(test::street_with(test::sector(250.0, 3.0, 50.0)));
  test::Street street(test::street_with(test::sector(70.0, 3.0, 50.0)));
  Survey survey;
  std::mt19937_64 random(5);
  for (const ScenePoint p : test::spiral(40)) {
    survey.measurements.push_back(
        test::measured(truth, p.x_m, p.y_m, std::normal_distribution(0.0, 2.0)(random)));
  }
  const SurveyFit fit = test::fitted(street, survey);
  const FittedValue& azimuth = test::value_of(fit, FitQuantity::azimuth);
  EXPECT_LT(std::abs((Angle::degrees(azimuth.value - 250.0)).wrapped().degrees()), 5.0);
  EXPECT_TRUE(fit.unseen.improves);
  EXPECT_LT(fit.unseen.after.mean_abs_db, 0.5 * fit.unseen.before.mean_abs_db);
}

TEST(FitTruth, ARightSiteGainsNothingAndSaysSo) {
  const test::Street truth(test::street_with(test::sector(70.0, 3.0, 50.0)));
  test::Street street(test::street_with(test::sector(70.0, 3.0, 50.0)));
  Survey survey;
  std::mt19937_64 random(9);
  for (const ScenePoint p : test::spiral(20)) {
    survey.measurements.push_back(
        test::measured(truth, p.x_m, p.y_m, std::normal_distribution(0.0, 4.0)(random)));
  }
  EXPECT_FALSE(test::fitted(street, survey).unseen.improves);
}

}  // namespace
}  // namespace sim
