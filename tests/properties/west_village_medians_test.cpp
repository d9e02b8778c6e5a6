// A real dense quarter against published medians: how often there is sight, and what a link loses.
// Not a pass or fail of either: bands, with bias and spread printed.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "sim/link/link.h"
#include "sim/loss/street_canyon.h"
#include "sim/loss/street_general.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/west_village.h"

namespace sim {
namespace {

struct Sample {
  double distance_2d_m = 0.0, distance_3d_m = 0.0;
  bool los = false;
  double direct_db = 0.0;  ///< without reflected paths
  double loss_db = 0.0;    ///< with reflected paths to order 2
};

/// Places every `step_m` along the streets, between `from` and `to` metres of the middle.
std::vector<ScenePoint> along_streets(const Scene& scene, double step_m, double reach_m) {
  std::vector<ScenePoint> places;
  const FootprintIndex footprints(scene);
  for (const Street& street : scene.streets) {
    for (std::size_t i = 0; i + 1 < street.line.size(); ++i) {
      const double length = horizontal_distance_m(street.line[i], street.line[i + 1]);
      for (double s = 0.0; s < length; s += step_m) {
        const ScenePoint p = street.line[i] + (s / length) * (street.line[i + 1] - street.line[i]);
        if (std::hypot(p.x_m, p.y_m) < reach_m && !footprints.building_at(p.x_m, p.y_m)) {
          places.push_back(p);
        }
      }
    }
  }
  return places;
}

/// Nodes 10 m up on the streets (the height of the models' base station), phones 1.5 m up on them.
const std::vector<Sample>& samples() {
  static const std::vector<Sample> all = [] {
    std::vector<Sample> found;
    ImportedSite site = test::west_village(-74.005854, 40.736534, 10.0, false);
    site.defaults.set({.name = "reflections", .value = 2.0, .source = "this test"});
    ImportReport report;
    Scene scene = build_scene(site, report);
    const std::vector<ScenePoint> spots = along_streets(scene, 90.0, 250.0);
    const Node pattern = scene.nodes.at(0);
    scene.nodes.clear();
    for (std::size_t i = 0; i < spots.size() && scene.nodes.size() < 12; i += 5) {
      Node node = pattern;
      node.position = spots[i] + ScenePoint{0.0, 0.0, 10.0};
      scene.nodes.push_back(node);
    }
    const RayCaster caster(scene);
    const LinkSettings settings = link_settings(scene);
    LinkSettings direct_only = settings;
    direct_only.mirrors = nullptr;
    for (const ScenePoint& p : along_streets(scene, 25.0, 400.0)) {
      const Receiver receiver{.position = p + ScenePoint{0.0, 0.0, 1.5}};
      for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
        const double d = horizontal_distance_m(scene.nodes[n].position, p);
        if (d < 20.0 || d > 250.0) continue;
        const Frequency f = scene.nodes[n].sectors[0].frequency;
        const auto link = [&](const LinkSettings& s) {
          return link_on(scene, trace_path(caster, n, f, receiver, s), 0, s);
        };
        const LinkResult with = link(settings);
        found.push_back({.distance_2d_m = d,
                         .distance_3d_m = with.distance_3d_m,
                         .los = with.sight == Sight::los,
                         .direct_db = link(direct_only).path_loss().value,
                         .loss_db = with.path_loss().value});
      }
    }
    return found;
  }();
  return all;
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

/// Half of the width between the 16th and 84th per cent.
double spread(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const auto at = [&](double share) {
    return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
  };
  return 0.5 * (at(0.84) - at(0.16));
}

class WestVillageMedians : public testing::Test {
 protected:
  void SetUp() override {
    if (!test::has_west_village()) GTEST_SKIP() << "no open data at " << test::west_village_folder;
  }
};

TEST_F(WestVillageMedians, SightIsAboutAsOftenAsThePublishedProbability) {
  // TR 38.901 Table 7.4.2-1, UMi street canyon. Both ends on street lines see each other somewhat
  // more often than places anywhere outdoors: a band of 0.35.
  for (const auto& [from, to] : {std::pair{20.0, 50.0}, std::pair{50.0, 100.0},
                                 std::pair{100.0, 150.0}, std::pair{150.0, 250.0}}) {
    double sight = 0.0, published = 0.0, count = 0.0;
    for (const Sample& s : samples()) {
      if (s.distance_2d_m < from || s.distance_2d_m >= to) continue;
      count += 1.0;
      sight += s.los ? 1.0 : 0.0;
      published += los_probability(s.distance_2d_m);
    }
    ASSERT_GT(count, 100.0);
    fmt::print("  {:3.0f}-{:3.0f} m: sight {:.3f}, TR 38.901 {:.3f}, {:.0f} links\n", from, to,
               sight / count, published / count, count);
    EXPECT_NEAR(sight / count, published / count, 0.35);
  }
}

TEST_F(WestVillageMedians, LossInSightIsNearThePublishedMedian) {
  // TR 38.901 Table 7.4.1-1, UMi LOS (sigma 4 dB), a fit to measurements. The direct path is free
  // space but for what reaches into its zone; reflected paths to order 2 only add to it.
  std::vector<double> direct, with;
  for (const Sample& s : samples()) {
    if (!s.los) continue;
    const double umi =
        street_canyon_loss(Frequency::ghz(28.0), s.distance_2d_m, 10.0, 1.5).los.value;
    direct.push_back(s.direct_db - umi);
    with.push_back(s.loss_db - umi);
  }
  fmt::print(
      "  in sight, {} links: {:+.1f} dB (spread {:.1f}) against UMi LOS, with reflections {:+.1f} "
      "dB "
      "(spread {:.1f})\n",
      direct.size(), median(direct), spread(direct), median(with), spread(with));
  EXPECT_NEAR(median(direct), 0.0, 4.0);
  EXPECT_LE(median(with), median(direct));
  EXPECT_GT(median(with), -8.0);
}

TEST_F(WestVillageMedians, LossOutOfSightIsReportedAgainstThePublishedMedians) {
  // TR 38.901 UMi NLOS (sigma 7.82 dB) and P.1411 street NLOS high-rise (sigma 7.6 dB), both fits
  // to measurements that hold every path there is. Ours are the mapped direct, diffracted and
  // reflected ones.
  std::vector<double> direct, against_umi, against_p1411;
  for (const Sample& s : samples()) {
    if (s.los || s.distance_2d_m < 30.0) continue;
    const double umi =
        street_canyon_loss(Frequency::ghz(28.0), s.distance_2d_m, 10.0, 1.5).nlos.value;
    direct.push_back(s.direct_db - umi);
    against_umi.push_back(s.loss_db - umi);
    against_p1411.push_back(s.loss_db - street_general_loss(Frequency::ghz(28.0), s.distance_3d_m,
                                                            StreetRow::nlos_high_rise)
                                            .loss.value);
  }
  fmt::print(
      "  out of sight, {} links: direct path alone {:+.1f} dB (spread {:.1f}) against UMi NLOS\n",
      direct.size(), median(direct), spread(direct));
  fmt::print(
      "  with reflections to order 2: {:+.1f} dB (spread {:.1f}) against UMi NLOS, {:+.1f} dB "
      "(spread {:.1f}) against P.1411 high-rise\n",
      median(against_umi), spread(against_umi), median(against_p1411), spread(against_p1411));
  EXPECT_LT(median(against_umi), median(direct)) << "reflected paths only add";
  EXPECT_GT(median(against_umi), -15.0);
  EXPECT_LT(median(against_umi), 40.0);
}

}  // namespace
}  // namespace sim
