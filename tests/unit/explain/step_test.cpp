#include <gtest/gtest.h>

#include "sim/explain/shortest_step.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const PredictOptions options{.radius_m = 200.0};

ReceiverPoint stand(const test::Street& street, double x, double y) {
  const MapPoint place = street.scene.frame.map_from_scene({x, y, 0.0});
  return *receiver_point(street.scene, "", place, 1.5, ReceiverContext::outdoor);
}

TEST(ShortestStep, LeadsPastTheCorner) {
  const test::Street street = test::street_with_wall();
  const FootprintIndex footprints(street.scene);
  // The shadow's edge at x = 40 stands at y = 4 x 40 / 20.5 = 7.8 m (similar triangles): from y = 4
  // it is 3.8 m to the north, somewhat less where half the field already suffices.
  const auto step = shortest_step(street.caster, footprints, {{stand(street, 40.0, 4.0)}}, "",
                                  street.settings, options);
  ASSERT_TRUE(step);
  EXPECT_GT(step->north_m, 0.0);
  EXPECT_NEAR(step->distance_m(), 3.8, 0.8);
}

TEST(ShortestStep, IsTheShortest) {
  const test::Street street = test::street_with_wall();
  const FootprintIndex footprints(street.scene);
  const auto step = shortest_step(street.caster, footprints, {{stand(street, 40.0, 4.0)}}, "",
                                  street.settings, options);
  ASSERT_TRUE(step);
  const double shorter = step->distance_m() - 0.5;
  for (int k = 0; k < 72; ++k) {
    const double a = 0.0872664626 * k;
    const auto point = stand(street, 40.0 + shorter * std::cos(a), 4.0 + shorter * std::sin(a));
    for (const LinkResult& link : node_links(street.caster, 0, point.receiver, street.settings)) {
      EXPECT_NE(link.state, LinkState::hold) << k;
    }
  }
}

TEST(ShortestStep, DoesNotWalkThroughWalls) {
  // Walled in on three sides at arm's length, the way to the node's side is barred.
  ImportedSite site = test::isotropic_site(3.0);
  site.nodes[0].sectors[0].eirp = Dbm(48.0);
  site.buildings.push_back(test::box_building("west", 38, -30, 39, 30, 30));
  site.buildings.push_back(test::box_building("north", 39, 29, 80, 30, 30));
  site.buildings.push_back(test::box_building("south", 39, -30, 80, -29, 30));
  const test::Street street(site);
  const FootprintIndex footprints(street.scene);
  EXPECT_FALSE(shortest_step(street.caster, footprints, {{stand(street, 41.0, 0.0)}}, "",
                             street.settings, options));
}

}  // namespace
}  // namespace sim
