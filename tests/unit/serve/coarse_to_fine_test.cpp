#include "sim/serve/coarse_to_fine.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/view/band_codes.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const PredictOptions options{.spacing_m = 2.0, .radius_m = 120.0};

struct Frame {
  int stage;
  double ledger_step_m;
  bool final;
  PredictionGrid grid;
};

struct Town {
  explicit Town(const ImportedSite& site)
      : street(site),
        footprints(street.scene),
        lattice(street.scene, footprints, options.spacing_m) {}

  std::vector<Frame> frames(const LinkSettings& settings) const {
    std::vector<Frame> frames;
    const bool whole = predict_coarse_to_fine(
        {street.caster, footprints, lattice, settings, options},
        [&](const MapFrame& frame) {
          frames.push_back({frame.stage, frame.ledger_step_m, frame.final, frame.grid});
          return true;
        },
        [] { return false; });
    EXPECT_TRUE(whole);
    return frames;
  }
  std::vector<Frame> frames() const { return frames(street.settings); }

  test::Street street;
  FootprintIndex footprints;
  StreetLattice lattice;
};

const Town& town() {
  static const Town town(test::town(5, {.blocks = 5}));
  return town;
}

void expect_same_bytes(const PredictionGrid& a, const PredictionGrid& b) {
  const auto x = coded_bands(a), y = coded_bands(b);
  ASSERT_EQ(a.spec, b.spec);
  ASSERT_EQ(x.size(), y.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    EXPECT_EQ(x[i].name, y[i].name);
    EXPECT_TRUE(x[i].bytes == y[i].bytes) << x[i].name;
  }
  EXPECT_EQ(a.cells_answered, b.cells_answered);
  EXPECT_EQ(a.cells_in_buildings, b.cells_in_buildings);
  EXPECT_EQ(a.cells_off_ground, b.cells_off_ground);
  EXPECT_EQ(a.cells_held_by_reflection, b.cells_held_by_reflection);
}

TEST(CoarseToFine, TheLastFrameIsWhatPredictGridAnswers) {
  const auto frames = town().frames();
  ASSERT_GE(frames.size(), 3U);
  EXPECT_TRUE(frames.back().final);
  EXPECT_DOUBLE_EQ(frames.back().ledger_step_m, options.spacing_m);
  expect_same_bytes(frames.back().grid,
                    predict_grid(town().street.caster, town().street.settings, options));
}

TEST(CoarseToFine, WithReflectionsAndTwoNodesToo) {
  ImportedSite site = test::town(6, {.blocks = 2});
  site.defaults.set({.name = "reflections", .value = 1.0, .source = "test"});
  NodeRecord second = site.nodes[0];
  second.id = "second";
  second.place.x += 22.0;
  second.place.y += 60.0;
  site.nodes.push_back(second);
  const Town two(site);
  ASSERT_TRUE(two.street.settings.mirrors);
  const auto frames = two.frames();
  EXPECT_EQ(frames.back().grid.sector_names.size(), 2 * site.nodes[0].sectors.size());
  expect_same_bytes(frames.back().grid,
                    predict_grid(two.street.caster, two.street.settings, options));
}

TEST(CoarseToFine, StepsHalveFromFrameToFrame) {
  const auto frames = town().frames();
  for (std::size_t i = 0; i < frames.size(); ++i) {
    EXPECT_EQ(frames[i].stage, static_cast<int>(i) + 1);
    EXPECT_EQ(frames[i].final, i + 1 == frames.size());
    if (i > 0) {
      EXPECT_DOUBLE_EQ(frames[i].ledger_step_m, 0.5 * frames[i - 1].ledger_step_m);
    }
  }
}

TEST(CoarseToFine, EveryFrameAnswersTheSameCells) {
  const auto frames = town().frames();
  const auto& last = frames.back().grid.band("sight").values;
  for (const Frame& frame : frames) {
    const auto& sight = frame.grid.band("sight").values;
    const auto& level = frame.grid.band("rsrp_dbm").values;
    for (std::size_t i = 0; i < last.size(); ++i) {
      ASSERT_EQ(std::isnan(sight[i]), std::isnan(last[i])) << frame.stage << ", cell " << i;
      const bool outdoors = last[i] > 0.0F;
      ASSERT_EQ(std::isnan(level[i]), !outdoors) << frame.stage << ", cell " << i;
    }
  }
}

/// Out of sight of the node behind ground or building, by the cell's own ray.
TEST(CoarseToFine, ShadowsHaveTheirTrueEdgesFromTheFirstFrameOn) {
  const Scene& scene = town().street.scene;
  const PredictionGrid first = town().frames().front().grid;
  const Node& node = scene.nodes[0];
  std::size_t shadowed = 0;
  for (std::size_t i = 0; i < first.spec.size(); ++i) {
    const float sight = first.band("sight").values[i];
    if (!(sight > 0.0F)) continue;
    const int cols = first.spec.cols, at = static_cast<int>(i);
    const auto point = receiver_point(
        scene, "", {first.spec.center_x_m(at % cols), first.spec.center_y_m(at / cols), 0.0},
        options.receiver_height_agl_m, ReceiverContext::outdoor);
    const bool clear =
        town().street.caster.is_clear(node.position, point->receiver.position,
                                      {.blocking = wide_mask, .ignored = node.own_poles});
    if (!clear) {
      ++shadowed;
      ASSERT_EQ(sight, static_cast<float>(Sight::nlos)) << i;
    }
  }
  EXPECT_GT(shadowed, 1000U);
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

TEST(CoarseToFine, LevelsComeNearerFromFrameToFrame) {
  const auto frames = town().frames();
  const auto& last = frames.back().grid;
  std::vector<double> errors_db;
  for (const Frame& frame : frames) {
    std::vector<double> errors;
    for (std::size_t i = 0; i < last.spec.size(); ++i) {
      const auto of = [&](const PredictionGrid& grid) {
        return static_cast<double>(grid.band("rsrp_dbm").values[i]);
      };
      if (!std::isnan(of(last))) errors.push_back(std::abs(of(frame.grid) - of(last)));
    }
    errors_db.push_back(median(errors));
  }
  for (std::size_t i = 1; i < errors_db.size(); ++i) EXPECT_LE(errors_db[i], errors_db[i - 1]);
  EXPECT_EQ(errors_db.back(), 0.0);
  EXPECT_LT(errors_db.front(), town().street.settings.shadow_sigma_nlos_db)
      << "a first frame is no worse than what the map cannot know anyway";
}

TEST(CoarseToFine, EndsWhenNobodyWantsItAnyMore) {
  const Town& t = town();
  int shown = 0;
  const auto hung_up = [&](const MapFrame&) { return ++shown < 2; };
  EXPECT_FALSE(
      predict_coarse_to_fine({t.street.caster, t.footprints, t.lattice, t.street.settings, options},
                             hung_up, [] { return false; }));
  EXPECT_EQ(shown, 2);
  shown = 0;
  EXPECT_FALSE(
      predict_coarse_to_fine({t.street.caster, t.footprints, t.lattice, t.street.settings, options},
                             hung_up, [] { return true; }));
  EXPECT_EQ(shown, 0);
}

TEST(CoarseToFine, WithoutNodesThereIsOneEmptyFrame) {
  ImportedSite site = test::isotropic_site();
  site.nodes.clear();
  const auto frames = Town(site).frames();
  ASSERT_EQ(frames.size(), 1U);
  EXPECT_TRUE(frames[0].final);
  EXPECT_EQ(frames[0].grid.spec.size(), 0U);
}

TEST(StreetLattice, GivesWhatTheSceneHasAtEveryCellOfAnyGrid) {
  const Town& t = town();
  for (const double moved_m : {0.0, 38.0}) {
    PredictionGrid grid = unanswered_grid(t.street.scene, options);
    grid.spec.west_m -= moved_m;  // as if the node had moved by whole cells
    grid.spec.north_m += moved_m;
    const auto ground = t.lattice.under(grid.spec);
    for (std::size_t i = 0; i < grid.spec.size(); ++i) {
      const int cols = grid.spec.cols, at = static_cast<int>(i);
      const ScenePoint p = t.street.scene.frame.scene_from_map(
          {grid.spec.center_x_m(at % cols), grid.spec.center_y_m(at / cols), 0.0});
      const bool inside = t.footprints.building_at(p.x_m, p.y_m).has_value();
      const double height = t.street.scene.ground.height_at(p.x_m, p.y_m);
      ASSERT_EQ(ground.foothold[i] == Foothold::in_building, inside);
      ASSERT_EQ(ground.foothold[i] == Foothold::off_ground, !inside && std::isnan(height));
      if (ground.foothold[i] == Foothold::open) {
        ASSERT_DOUBLE_EQ(ground.height_m[i], height);
      }
    }
  }
}

}  // namespace
}  // namespace sim
