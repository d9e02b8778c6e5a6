#include "sim/explain/suspects.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/loss/finite_screen.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const Frequency band = Frequency::ghz(28.0);

/// A row at a taped-off place: -80 dBm by the map, and what was measured.
SuspectRow row_at(std::size_t point, NodeIndex node, ScenePoint phone, double measured_dbm) {
  SuspectRow row{.point = point,
                 .node = node,
                 .frequency = band,
                 .evidence = {.level_dbm = measured_dbm, .at_least_dbm = {}, .at_most_dbm = {}},
                 .weaker = measured_dbm < -90.0,
                 .walk = "walk",
                 .time_s = static_cast<double>(point),
                 .reported = phone,
                 .place_sigma_m = 0.3,
                 .ends = {}};
  for (const double off : {0.0, -0.3, 0.3}) {
    const ScenePoint place{phone.x_m + off, phone.y_m, phone.z_m};
    row.ends.push_back({.phone = place, .level_dbm = -80.0, .sigma_db = 4.0});
  }
  return row;
}

/// Rays from two nodes to phones along a street; those that pass a hidden body are weaker.
struct Hidden {
  ImportedSite site = test::isotropic_site(5.0);
  std::vector<SuspectRow> rows;
  ScenePoint body{30.0, 4.0, 0.0};
  double radius_m = 1.5;

  Hidden() {
    NodeRecord other = site.nodes[0];
    other.id = "other";
    other.place = {60.0, 0.0};
    site.nodes.push_back(other);
  }
  /// Plane geometry: the ray passes within the body's radius, below 3 m.
  bool taken(ScenePoint node, ScenePoint phone) const {
    const double length = horizontal_distance_m(node, phone);
    const double along = ((body.x_m - node.x_m) * (phone.x_m - node.x_m) +
                          (body.y_m - node.y_m) * (phone.y_m - node.y_m)) /
                         length;
    const double aside = ((phone.x_m - node.x_m) * (body.y_m - node.y_m) -
                          (phone.y_m - node.y_m) * (body.x_m - node.x_m)) /
                         length;
    const double height = node.z_m + along / length * (phone.z_m - node.z_m);
    return along > 0.0 && along < length && std::abs(aside) < radius_m && height < 3.0;
  }
  /// How many are weak.
  std::size_t walk(const Scene& scene, NodeIndex nodes, std::size_t repeats) {
    std::size_t weak = 0;
    for (double x = -5.0; x <= 65.0; x += 1.5) {
      const ScenePoint phone{x, 7.0, 1.5};
      for (NodeIndex n = 0; n < nodes; ++n) {
        const bool weaker = taken(scene.nodes[n].position, phone);
        weak += weaker ? 1U : 0U;
        for (std::size_t k = 0; k < repeats; ++k) {
          rows.push_back(row_at(rows.size(), n, phone, weaker ? -105.0 : -80.0));
        }
      }
    }
    return weak;
  }
};

TEST(Suspects, StandWhereTheWeakRaysCross) {
  Hidden hidden;
  const test::Street street(hidden.site);
  ASSERT_GE(hidden.walk(street.scene, 2, 1), 3U);
  const auto suspects = find_suspects(street.scene, hidden.rows);
  ASSERT_FALSE(suspects.empty());
  EXPECT_LT(horizontal_distance_m(suspects[0].place, hidden.body), 3.0);
  EXPECT_GT(suspects[0].likelihood, 0.5);
  EXPECT_GE(suspects[0].points.size(), 3U);
  EXPECT_TRUE(suspects[0].enough_evidence);
}

TEST(Suspects, StandThereWhenEachPlaceIsMeasuredFiftyTimes) {
  Hidden hidden;
  const test::Street street(hidden.site);
  hidden.walk(street.scene, 2, 50);
  const auto suspects = find_suspects(street.scene, hidden.rows);
  ASSERT_FALSE(suspects.empty());
  EXPECT_LT(horizontal_distance_m(suspects[0].place, hidden.body), 3.0);
}

TEST(Suspects, NoneWithoutWeakRays) {
  Hidden hidden;
  const test::Street street(hidden.site);
  for (std::size_t i = 0; i < 20; ++i) {
    hidden.rows.push_back(row_at(i, 0, {50.0, static_cast<double>(i) - 10.0, 1.5}, -80.0));
  }
  EXPECT_TRUE(find_suspects(street.scene, hidden.rows).empty());
}

TEST(Suspects, OneWeakRayIsHardlyAPlace) {
  Hidden hidden;
  const test::Street street(hidden.site);
  hidden.rows.push_back(row_at(0, 0, {50.0, 3.0, 1.5}, -105.0));
  for (const Suspect& s : find_suspects(street.scene, hidden.rows)) {
    EXPECT_LT(s.likelihood, 0.5);  // anything along 50 m could have done it
    EXPECT_FALSE(s.enough_evidence);
  }
}

TEST(Suspects, OfOneRayTimeAndAgainAreNotEnoughEvidence) {
  // Weak at one place, from one node, time and again: which of all things on the way, none can say.
  Hidden hidden;
  const test::Street street(hidden.site);
  for (std::size_t i = 0; i < 12; ++i) {
    hidden.rows.push_back(row_at(i, 0, {50.0, 3.0, 1.5}, -105.0));
  }
  for (const Suspect& s : find_suspects(street.scene, hidden.rows)) {
    EXPECT_FALSE(s.enough_evidence);
  }
}

TEST(MissingThings, LeaveWhatAFiniteScreenLeaves) {
  // Across the ray, 20 m of 50 m from the node: P.526 section 5.1, mean, of the nearest guess.
  const DirectRay ray{{0.0, 0.0, 4.0}, {50.0, 0.0, 1.5}, band};
  PowerLeft left{};
  const ThingPlace place{{20.0, 1.0, 0.0}, {0.0, 1.0}};
  ASSERT_TRUE(power_left(ray, place, left));
  for (std::size_t g = 0; g < thing_guesses; ++g) {
    const ThingShape& shape = shape_of_guess(g);
    if (shape.lies_across != 0.0 || shape.lies_along != 1.0) continue;
    const double at = 20.0 + shape.half_width_m, height = 4.0 - 2.5 * at / 50.0;
    const double mean = finite_screen_loss(band, at, 50.0 - at, height_of_guess(g) - height,
                                           shape.half_length_m + 1.0, shape.half_length_m - 1.0)
                            .mean.value;
    EXPECT_NEAR(-10.0 * std::log10(left[g]), mean, 0.01) << g;
  }
}

TEST(MissingThings, DoNotHoldThePhone) {
  PowerLeft left{};
  const DirectRay ray{{0.0, 0.0, 4.0}, {50.0, 0.0, 1.5}, band};
  ASSERT_TRUE(power_left(ray, {{50.0, 0.0, 0.0}, {}}, left));
  EXPECT_EQ(left[0], 0.0);
  EXPECT_FALSE(power_left(ray, {{25.0, 30.0, 0.0}, {}}, left));  // far beside
}

TEST(StreetDirections, FollowTheNearestWall) {
  ImportedSite site = test::isotropic_site(5.0);
  site.buildings.push_back(test::box_building("house", 10.0, 10.0, 30.0, 20.0, 8.0));
  const test::Street street(site);
  const StreetDirections directions(street.scene, 0.0, 0.0, 40.0, 40.0);
  const auto before = directions.at(20.0, 5.0);
  ASSERT_TRUE(before);
  EXPECT_NEAR(std::abs(before->east), 1.0, 1e-6);  // before the long side
  const auto beside = directions.at(33.0, 15.0);
  ASSERT_TRUE(beside);
  EXPECT_NEAR(std::abs(beside->north), 1.0, 1e-6);
  EXPECT_FALSE(directions.at(20.0, -90.0));
}

}  // namespace
}  // namespace sim
