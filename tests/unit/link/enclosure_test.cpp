// Vehicle, glass, walls, hand and body against the tables they come from.
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/street.h"

namespace sim {
namespace {

/// The dearest enclosure term of a phone level with its node, 28 GHz.
LossTerm enclosure(ReceiverContext context, const Housing& housing) {
  test::Street street(test::isotropic_site(6.0));
  street.settings.housing = housing;
  const LinkResult link = street.link({60.0, 0.0, 6.0}, context);
  LossTerm dearest;
  for (const LossTerm& term : link.terms) {
    if (term.group == TermGroup::penetration && term.loss > dearest.loss) dearest = term;
  }
  return dearest;
}

void expect_entry(const LossTerm& term, const char* model, double loss_db, double sigma_db) {
  EXPECT_EQ(term.model, model);
  EXPECT_NEAR(term.loss.value, loss_db, 0.01);
  EXPECT_NEAR(term.spread.value, sigma_db, 1e-9);
  EXPECT_EQ(term.cause, Cause::enclosure);
}

TEST(Enclosure, VehiclesAsTheirWindows) {  // TR 38.901 section 7.4.3.2
  expect_entry(enclosure(ReceiverContext::in_vehicle, {}), "vehicle_entry", 9.0, 5.0);
  expect_entry(enclosure(ReceiverContext::in_vehicle, {.metallised_windows = true}),
               "vehicle_entry", 20.0, 5.0);
}

TEST(Enclosure, PanesAsTheirGlass) {
  // TR 38.901 Table 7.4.3-1: 2 + 0.2 f and, since release 19, 25.4 + 0.11 f.
  expect_entry(enclosure(ReceiverContext::behind_glass, {}), "glass", 7.6, 4.4);
  expect_entry(enclosure(ReceiverContext::behind_glass, {.coated_glass = true}), "coated_glass",
               28.48, 6.5);
  // P.2040-3 slab, 6 and 10 mm of glass at 28 GHz straight through.
  expect_entry(enclosure(ReceiverContext::behind_glass, {.glass_thickness_mm = 6.0}), "slab",
               2.5418, 4.4);
  expect_entry(enclosure(ReceiverContext::behind_glass, {.glass_thickness_mm = 10.0}), "slab", 4.18,
               4.4);
}

TEST(Enclosure, WallsAsTheirKind) {
  const auto wall = [](Facade facade) {
    return enclosure(ReceiverContext::behind_glass, {.facade = facade});
  };
  // TR 38.901 Table 7.4.3-2 at 28 GHz.
  expect_entry(wall(Facade::low_loss), "facade_entry", 17.829, 4.4);
  expect_entry(wall(Facade::high_loss), "facade_entry", 35.029, 6.5);
  // P.2109 at 28 GHz, level, P = 0.5; between its 10 % and 50 % values of 6.891 and 20.218 dB lie
  // 1.28 sigma, so sigma is near 10.4 dB.
  EXPECT_NEAR(wall(Facade::traditional).loss.value, 20.182, 0.01);
  EXPECT_NEAR(wall(Facade::traditional).spread.value, 10.4, 1.5);
  EXPECT_NEAR(wall(Facade::efficient).loss.value, 41.676, 0.01);
}

TEST(Enclosure, DepthIndoorsAddsHalfADecibelAMetre) {  // TR 38.901 Table 7.4.3-2: 0.5 d
  test::Street street(test::isotropic_site(6.0));
  street.settings.housing = {.facade = Facade::low_loss, .indoor_depth_m = 6.0};
  EXPECT_NEAR(street.link({60.0, 0.0, 6.0}, ReceiverContext::behind_glass)
                  .sum(TermGroup::penetration)
                  .value,
              17.829 + 3.0, 0.01);
}

TEST(Enclosure, AHandCountsInAnyContext) {
  // Common practice, no source; within 12.66-19.03 dB of IJAP 2017 art. 2961090 Table 2.
  const LossTerm hand = enclosure(ReceiverContext::outdoor, {.hand_over_panel = true});
  EXPECT_EQ(hand.model, "hand");
  EXPECT_EQ(hand.cause, Cause::body);
  EXPECT_GT(hand.loss.value, 12.66);
  EXPECT_LT(hand.loss.value, 19.03);
  test::Street street(test::isotropic_site(6.0));
  street.settings.housing.hand_over_panel = true;
  const LinkResult link = street.link({60.0, 0.0, 6.0}, ReceiverContext::in_vehicle);
  EXPECT_NEAR(link.sum(TermGroup::penetration).value, 9.0 + hand.loss.value, 1e-9);
  EXPECT_NEAR(link.spread().value, std::hypot(5.0, hand.spread.value), 1e-9) << "in quadrature";
}

}  // namespace
}  // namespace sim
