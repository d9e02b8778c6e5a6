// A survey laid over a small invented street.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/explain/explanation.h"
#include "sim/explain/figures.h"
#include "sim/explain/wording.h"
#include "tests/support/street.h"

namespace sim {
namespace {

using testing::HasSubstr;

const PredictOptions options{.radius_m = 200.0};

Measurement at(const test::Street& street, double x, double y) {
  const MapPoint place = street.scene.frame.map_from_scene({x, y, 0.0});
  Measurement m;
  m.survey = "walk.csv";
  m.place = Xy{place.x_m, place.y_m};
  return m;
}

TEST(Explain, NamesTheWallThatStandsInTheWay) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  Measurement m = at(street, 40.0, -4.0);
  m.connected = false;
  survey.measurements.push_back(m);
  const Explanation explanation = explain(street.caster, survey, street.settings, options);
  const ExplainedPoint& point = explanation.points.at(0);
  EXPECT_EQ(point.cause, Cause::building);
  EXPECT_EQ(street.scene.obstacles[point.cause_obstacle].id, "wall 7");
  EXPECT_THAT(point.sentence, HasSubstr("Wall 7 stands"));
  ASSERT_TRUE(point.step);
  EXPECT_THAT(point.sentence, HasSubstr("to get the link back"));
}

TEST(Explain, ResidualsAreMeasuredMinusPredicted) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  for (const double y : {20.0, 30.0, 40.0}) {
    Measurement m = at(street, 10.0, y);
    const LinkResult link = street.link({10.0, y, 1.5});
    m.rsrp_dbm = link.rsrp.value + 0.1 * y;
    survey.measurements.push_back(m);
  }
  const Explanation explanation = explain(street.caster, survey, street.settings, options);
  EXPECT_EQ(explanation.compared, 3U);
  EXPECT_NEAR(*explanation.points[0].residual_db, 2.0, 1e-9);
  EXPECT_NEAR(explanation.median_residual_db, 3.0, 1e-9);
  EXPECT_NEAR(explanation.residual_spread_db, 1.0 / 1.349, 1e-9);  // quartiles 2.5 and 3.5
}

TEST(Explain, ARowWithoutAPlaceSaysWhy) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  survey.measurements.resize(2);
  survey.measurements[1].set_aside = "no_fix";
  const auto points = explain(street.caster, survey, street.settings, options).points;
  EXPECT_THAT(points.at(0).sentence, HasSubstr("has no usable position. Nothing can be said"));
  EXPECT_THAT(points.at(1).sentence,
              HasSubstr("no usable position: longitude 0, latitude 0 is what a phone without a fix "
                        "writes."));
}

TEST(Explain, APlaceInsideAHouseIsSaid) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  survey.measurements = {at(street, 20.0, -10.0), at(street, 10.0, 20.0)};
  for (Measurement& m : survey.measurements) m.connected = false;
  const auto points = explain(street.caster, survey, street.settings, options).points;
  EXPECT_THAT(points.at(0).sentence, HasSubstr("The place lies inside wall 7"));
  EXPECT_THAT(points.at(1).sentence, testing::Not(HasSubstr("lies inside")));
}

// Nothing casts a shadow 2 m from a node in the open: the level changes with the distance.
TEST(Explain, ALevelThatChangesFastIsNoShadow) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  Measurement m = at(street, -2.0, 0.0);
  m.accuracy_m = 20.0;
  m.rsrp_dbm = street.link({-20.0, 0.0, 1.5}).rsrp.value;
  survey.measurements.push_back(m);
  const ExplainedPoint point =
      explain(street.caster, survey, street.settings, options).points.at(0);
  EXPECT_THAT(point.sentence, testing::Not(HasSubstr("shadow"))) << point.sentence;
}

TEST(Figures, ClaimNoMoreThanIsKnown) {
  EXPECT_EQ(rate_text(597.6), "600");
  EXPECT_EQ(rate_text(1249.0), "1200");
  EXPECT_EQ(rate_text(88.7), "89");
  EXPECT_EQ(rate_text(0.44), "0.4");
  EXPECT_EQ(level_text(-93.4), "-93 dBm");
  EXPECT_EQ(level_text(-242.0), "below -140 dBm");
  EXPECT_EQ(cost_text(148.0), "more than 60 dB");
  EXPECT_EQ(whole_length_text(6.04, LengthUnits::imperial), "6 m (20 ft)");  // 0.3048 m exactly
}

TEST(Explain, AWrongEirpIsNoObstacle) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  for (double y = 10.0; y <= 50.0; y += 5.0) {
    Measurement m = at(street, 10.0, y);
    m.rsrp_dbm = street.link({10.0, y, 1.5}).rsrp.value - 12.0;
    survey.measurements.push_back(m);
  }
  const Explanation explanation = explain(street.caster, survey, street.settings, options);
  EXPECT_NEAR(explanation.level_offset_db.at(0), -12.0, 1e-9);
  for (const ExplainedPoint& p : explanation.points) EXPECT_EQ(p.cause, Cause::none);
  EXPECT_TRUE(explanation.suspects.empty());
  EXPECT_NEAR(explanation.median_residual_db, -12.0, 1e-9);
}

TEST(Explain, KeepsEveryRowInOrder) {
  const test::Street street = test::street_with_wall();
  Survey survey;
  survey.measurements.push_back(at(street, 10.0, 20.0));
  survey.measurements.emplace_back();  // no place
  survey.measurements.push_back(at(street, 900.0, 0.0));
  const Explanation explanation = explain(street.caster, survey, street.settings, options);
  ASSERT_EQ(explanation.points.size(), 3U);
  EXPECT_EQ(explanation.points[1].cause, Cause::position);
  EXPECT_EQ(explanation.points[2].cause, Cause::distance);
  EXPECT_FALSE(explanation.points[2].link);
}

TEST(Explain, WithoutANodeSaysWhatItCannotSay) {
  ImportedSite site = test::isotropic_site();
  site.nodes.clear();
  const test::Street street(site);
  Survey survey;
  Measurement m = at(street, 10.0, 0.0);
  m.rsrp_dbm = -90.0;
  survey.measurements.push_back(m);
  const Explanation explanation = explain(street.caster, survey, street.settings, options);
  EXPECT_EQ(explanation.points[0].cause, Cause::none);
  EXPECT_EQ(explanation.points[0].confidence, 0.0);
  EXPECT_THAT(explanation.points[0].sentence, HasSubstr("No node is known"));
}

TEST(Sentence, LengthsInFeetStandBeside) {
  EXPECT_EQ(length_text(30.48, LengthUnits::metric), "30 m");
  EXPECT_EQ(length_text(30.48, LengthUnits::imperial), "30 m (100 ft)");
  EXPECT_EQ(length_text(2.0, LengthUnits::imperial), "2.0 m (6.6 ft)");
}

TEST(Sentence, CompassOfEight) {
  EXPECT_EQ(compass_word(Angle::degrees(0.0)), "north");
  EXPECT_EQ(compass_word(Angle::degrees(44.0)), "north-east");
  EXPECT_EQ(compass_word(Angle::degrees(-90.0)), "west");
  EXPECT_EQ(compass_word(Angle::degrees(338.0)), "north");
}

}  // namespace
}  // namespace sim
