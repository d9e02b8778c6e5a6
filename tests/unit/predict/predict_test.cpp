#include <gtest/gtest.h>

#include <cmath>

#include "sim/base/parallel.h"
#include "sim/predict/prediction.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const PredictOptions options{.spacing_m = 2.0, .radius_m = 60.0};

TEST(PredictGrid, CellCentresAreMultiplesOfTheSpacing) {
  const test::Street street(test::isotropic_site());
  const PredictionGrid grid = predict_grid(street.caster, street.settings, options);
  const GridSpec& s = grid.spec;
  for (const double centre : {s.center_x_m(0), s.center_x_m(5), s.center_y_m(0), s.center_y_m(7)}) {
    EXPECT_NEAR(std::remainder(centre, 2.0), 0.0, 1e-6);
  }
}

TEST(PredictGrid, BuildingsHaveNoAnswerButSightNone) {
  ImportedSite site = test::isotropic_site();
  site.buildings.push_back(test::box_building("b", 20, -10, 40, 10, 9));
  const test::Street street(site);
  const PredictionGrid grid = predict_grid(street.caster, street.settings, options);
  std::size_t inside = 0;
  for (std::size_t i = 0; i < grid.spec.size(); ++i) {
    if (grid.band("sight").values[i] != 0.0F) continue;
    ++inside;
    for (const Band& band : grid.bands) {
      const bool kept = band.name == "sight";
      EXPECT_NE(std::isnan(band.values[i]), kept) << band.name;
    }
  }
  EXPECT_EQ(inside, grid.cells_in_buildings);
  EXPECT_NEAR(static_cast<double>(inside), 20.0 * 20.0 / 4.0, 25.0);  // area over cell area
}

TEST(PredictGrid, AnswersOnlyWithinTheRadius) {
  const test::Street street(test::isotropic_site());
  const PredictionGrid grid = predict_grid(street.caster, street.settings, options);
  const double circle = 3.14159265 * 60.0 * 60.0 / 4.0;
  EXPECT_NEAR(static_cast<double>(grid.cells_answered), circle, 0.02 * circle);
}

TEST(PredictGrid, IsTheSameOnAnyNumberOfThreads) {
  const test::Street street(test::town(5, {.blocks = 3}));
  set_thread_count(1);
  const PredictionGrid one = predict_grid(street.caster, street.settings, options);
  set_thread_count(0);
  const PredictionGrid all = predict_grid(street.caster, street.settings, options);
  for (std::size_t b = 0; b < one.bands.size(); ++b) {
    for (std::size_t i = 0; i < one.spec.size(); ++i) {
      const float x = one.bands[b].values[i], y = all.bands[b].values[i];
      ASSERT_TRUE(x == y || (std::isnan(x) && std::isnan(y))) << one.bands[b].name << " " << i;
    }
  }
}

TEST(PredictGrid, TheBestSectorIsTheOneThatLooksThere) {
  ImportedSite site = test::isotropic_site();
  SectorRecord sector = site.nodes[0].sectors[0];
  sector.pattern = "3gpp-element";
  sector.azimuth = Angle::degrees(90.0);
  SectorRecord other = sector;
  other.id = "b";
  other.azimuth = Angle::degrees(270.0);
  site.nodes[0].sectors = {sector, other};
  const test::Street street(site);
  const PredictionGrid grid = predict_grid(street.caster, street.settings, options);
  const auto best = [&](double x, double y) {
    const int col = static_cast<int>(std::lround((x - grid.spec.west_m) / 2.0 - 0.5));
    const int row = static_cast<int>(std::lround((grid.spec.north_m - y) / 2.0 - 0.5));
    return grid.band("best_sector").values[grid.spec.index(col, row)];
  };
  const MapPoint node = street.scene.frame.map_from_scene(street.scene.nodes[0].position);
  EXPECT_EQ(best(node.x_m + 40.0, node.y_m), 1.0F);
  EXPECT_EQ(best(node.x_m - 40.0, node.y_m), 2.0F);
}

TEST(PredictPoints, KeepsOrderAndCountsWhatItLeavesOut) {
  const test::Street street(test::isotropic_site());
  std::vector<ReceiverPoint> points;
  for (const double x : {50.0, 10.0, 80.0, 30.0}) {
    const MapPoint place = street.scene.frame.map_from_scene({x, 0.0, 0.0});
    points.push_back(
        *receiver_point(street.scene, std::to_string(x), place, 1.5, ReceiverContext::outdoor));
  }
  const ReceiverAnswers answers = predict_points(street.caster, points, street.settings, options);
  ASSERT_EQ(answers.rows.size(), 3U);
  EXPECT_EQ(answers.rows[0].point.id, points[0].id);
  EXPECT_EQ(answers.rows[2].point.id, points[3].id);
  EXPECT_EQ(answers.beyond_radius, 1U);
}

}  // namespace
}  // namespace sim
