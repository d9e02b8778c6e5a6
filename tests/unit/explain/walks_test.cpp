// Stretches without a link, and places walked again.
#include <gtest/gtest.h>

#include <filesystem>
#include <iostream>

#include "sim/explain/explanation.h"
#include "tests/places.h"
#include "tests/support/street.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

const PredictOptions options{.radius_m = 200.0};

/// A walk along x = 40 m, past the edge of the wall's shadow at y = 7.8 m (similar triangles, see
/// step_test), lost south of `lost_to_y`.
Survey walk_past_wall(const test::Street& street, double lost_to_y) {
  Survey survey;
  for (double y = -20.0; y <= 30.0; y += 1.0) {
    const MapPoint place = street.scene.frame.map_from_scene({40.0, y, 0.0});
    Measurement m;
    m.survey = "walk.csv";
    m.row = static_cast<std::int64_t>(survey.measurements.size() + 1);
    m.place = Xy{place.x_m, place.y_m};
    m.accuracy_m = 0.5;
    m.connected = y > lost_to_y;
    survey.measurements.push_back(m);
  }
  return survey;
}

TEST(DropStretches, StandBesideWhatWasPredicted) {
  const test::Street street = test::street_with_wall();
  const Explanation explanation =
      explain(street.caster, walk_past_wall(street, 6.0), street.settings, options);
  ASSERT_EQ(explanation.drops.size(), 1U);
  const ExplainedDrop& drop = explanation.drops[0];
  EXPECT_EQ(drop.measured.first, 0U);
  EXPECT_EQ(drop.measured.rows(), 27U);  // y = -20 .. 6
  EXPECT_NEAR(drop.walked_m, 26.0, 1e-6);
  EXPECT_TRUE(drop.regained);
  ASSERT_TRUE(drop.predicted);
  EXPECT_NEAR(static_cast<double>(drop.predicted->rows()), 28.0, 2.0);  // to about y = 7.8
  EXPECT_GT(drop.agreement, 0.9);
  EXPECT_EQ(drop.cause, Cause::building);
  EXPECT_EQ(street.scene.obstacles[drop.cause_obstacle].id, "wall 7");
}

TEST(DropStretches, WithoutANodeHaveNoPrediction) {
  const test::Street street = test::street_with_wall();
  const Survey survey = walk_past_wall(street, 6.0);
  ImportedSite site = test::isotropic_site();
  site.nodes.clear();
  const test::Street without(site);
  const Explanation explanation = explain(without.caster, survey, without.settings, options);
  ASSERT_EQ(explanation.drops.size(), 1U);
  EXPECT_FALSE(explanation.drops[0].comparable);
  EXPECT_FALSE(explanation.drops[0].predicted);
  EXPECT_NEAR(explanation.drops[0].walked_m, 26.0, 1e-6);
}

Measurement row(const std::string& survey, double x, bool connected) {
  Measurement m;
  m.survey = survey;
  m.place = Xy{x, 5.0};
  m.connected = connected;
  return m;
}

TEST(RepeatedWalks, CountHowOftenAPlaceDrops) {
  std::vector<Measurement> rows;
  for (const std::string walk : {"a", "b", "c"}) {
    for (int k = 0; k < 4; ++k) {
      rows.push_back(row(walk, 10.0, walk == "a"));  // drops in two of three
      rows.push_back(row(walk, 30.0, true));
      rows.push_back(row(walk, 50.0, k == 0));  // drops in all
    }
  }
  const auto places = walked_places(rows, -98.0);
  ASSERT_EQ(places.size(), 3U);
  EXPECT_EQ(places[0].passes.size(), 3U);
  EXPECT_EQ(places[0].dropped(), 2U);
  EXPECT_EQ(places[1].dropped(), 0U);
  EXPECT_EQ(places[2].dropped(), 3U);
  EXPECT_DOUBLE_EQ(places[2].passes.at("b").connected_share(), 0.25);
  // Shares (0, 1, 1/4) of b and c are the same; those of a are (1, 1, 1/4).
  const auto agreements = walk_agreements(places);
  ASSERT_EQ(agreements.size(), 3U);
  EXPECT_NEAR(agreements[2].correlation, 1.0, 1e-12);  // b and c
  EXPECT_NEAR(agreements[0].correlation, 0.2773501,
              1e-6);  // by hand: 0.25 / sqrt(0.375 0.541667)...
}

TEST(RepeatedWalks, TheSixWalksDropInTheSamePlaces) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::path(KERBRAY_OPEN_DATA) / "mmwave_walks";
  if (!fs::exists(folder)) {
    GTEST_SKIP() << "open data " << folder.lexically_normal() << " is not on this machine";
  }
  TempFolder temp;
  std::string toml;
  for (const char* run : {"run63", "run64", "run131", "run133", "run151", "run157"}) {
    toml += "[[survey]]\nfile = \"" +
            (folder / (std::string(run) + ".csv")).lexically_normal().string() +
            "\"\ntime_zone = \"-06:00\"\n";
  }
  const Survey survey = read_surveys(import_site(read_site(temp.write("site.toml", toml))));
  const auto places = walked_places(survey.measurements, -98.0);
  const auto agreements = walk_agreements(places);
  ASSERT_EQ(agreements.size(), 15U);  // pairs of six
  double sum = 0.0, least = 1.0;
  for (const WalkAgreement& pair : agreements) {
    sum += pair.correlation / 15.0;
    least = std::min(least, pair.correlation);
    EXPECT_GE(pair.places, 20U) << pair.one << " " << pair.other;
  }
  std::size_t again = 0, always = 0;
  for (const WalkedPlace& place : places) {
    if (place.passes.size() < 4) continue;
    ++again;
    always += place.dropped() == place.passes.size() || place.dropped() == 0 ? 1 : 0;
  }
  std::cout << "connected share per 20 m: mean correlation of two walks " << sum << ", least "
            << least << "; " << always << " of " << again
            << " places walked at least four times always or never drop\n";
  // SOURCE.md of the data: "the same stretches drop walk after walk".
  EXPECT_GT(sum, 0.6);
  EXPECT_GT(least, 0.4);
}

}  // namespace
}  // namespace sim
