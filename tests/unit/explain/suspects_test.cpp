#include "sim/explain/suspects.h"

#include <gtest/gtest.h>

#include "tests/support/street.h"

namespace sim {
namespace {

/// Rays from two nodes to phones along a street; those that pass a hidden body are weaker.
struct Hidden {
  ImportedSite site = test::isotropic_site(5.0);
  std::vector<SuspectRay> rays;
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
};

TEST(Suspects, StandWhereTheWeakRaysCross) {
  Hidden hidden;
  const test::Street street(hidden.site);
  std::size_t point = 0, weak = 0;
  for (NodeIndex n = 0; n < 2; ++n) {
    for (double x = -5.0; x <= 65.0; x += 1.5) {
      const ScenePoint phone{x, 7.0, 1.5};
      const bool weaker = hidden.taken(street.scene.nodes[n].position, phone);
      weak += weaker ? 1U : 0U;
      hidden.rays.push_back({point++, n, phone, weaker ? 3.0 : -3.0, 0.3});
    }
  }
  ASSERT_GE(weak, 3U);
  const auto suspects = find_suspects(street.scene, hidden.rays);
  ASSERT_FALSE(suspects.empty());
  EXPECT_LT(horizontal_distance_m(suspects[0].place, hidden.body), 3.0);
  EXPECT_GT(suspects[0].likelihood, 0.5);
  EXPECT_GE(suspects[0].points.size(), 3U);
}

TEST(Suspects, NoneWithoutWeakRays) {
  Hidden hidden;
  const test::Street street(hidden.site);
  for (std::size_t i = 0; i < 20; ++i) {
    hidden.rays.push_back({i, 0, {50.0, static_cast<double>(i) - 10.0, 1.5}, -3.0, 0.3});
  }
  EXPECT_TRUE(find_suspects(street.scene, hidden.rays).empty());
}

TEST(Suspects, OneWeakRayIsHardlyAPlace) {
  Hidden hidden;
  const test::Street street(hidden.site);
  hidden.rays.push_back({0, 0, {50.0, 3.0, 1.5}, 3.0, 0.3});
  for (const Suspect& s : find_suspects(street.scene, hidden.rays)) {
    EXPECT_LT(s.likelihood, 0.5);  // anything along 50 m could have done it
    EXPECT_FALSE(s.enough_evidence);
  }
}

}  // namespace
}  // namespace sim
