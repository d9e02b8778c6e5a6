// The low, middle and high estimate of foliage, and what passes round it.
#include <gtest/gtest.h>

#include "sim/loss/foliage.h"

namespace sim {
namespace {

constexpr double low_db_per_m = 0.4;  // assets/defaults.csv

TEST(FoliageEstimate, NeverFallsWithDepthAndKeepsItsOrder) {
  for (const double ghz : {24.25, 28.0, 39.0, 60.0}) {
    const Frequency f = Frequency::ghz(ghz);
    FoliageEstimate before = foliage_estimate(f, 0.0, low_db_per_m);
    EXPECT_EQ(before.high, Db(0.0));
    for (double depth = 0.01; depth < 400.0; depth += 0.01) {
      const FoliageEstimate now = foliage_estimate(f, depth, low_db_per_m);
      ASSERT_GE(now.low, before.low) << depth;
      ASSERT_GE(now.middle, before.middle) << depth;
      ASSERT_GE(now.high, before.high) << depth;
      ASSERT_LE(now.low, now.middle) << depth;
      ASSERT_LE(now.middle, now.high) << depth;
      before = now;
    }
  }
}

TEST(FoliageEstimate, OfAStreetTreeIsWhatWasMeasuredBehindStreetTrees) {
  // Outdoor to indoor in Manhattan at 28 GHz, 2200 links: tree foliage changes the loss by 5-10 dB
  // (arXiv 2205.09436, abstract). A single tree in leaf: about 10-20 dB (from memory). Crowns 5 to
  // 8 m through: common practice, no source.
  for (const double depth : {5.0, 6.0, 7.0, 8.0}) {
    const FoliageEstimate of = foliage_estimate(Frequency::ghz(28.0), depth, low_db_per_m);
    EXPECT_GE(of.middle.value, 5.0);
    EXPECT_LE(of.middle.value, 10.0);
    EXPECT_GE(of.high.value, 10.0);
    EXPECT_LE(of.high.value, 20.0);
  }
}

TEST(FoliageEstimate, IsThePublishedFormsElsewhere) {
  // Weissberger 1982 and early ITU, computed: 28 GHz, 10 m and 20 m.
  const Frequency f = Frequency::ghz(28.0);
  EXPECT_NEAR(foliage_estimate(f, 10.0, low_db_per_m).middle.value, 11.593, 0.005);
  EXPECT_NEAR(foliage_estimate(f, 20.0, low_db_per_m).middle.value, 19.946, 0.005);
  EXPECT_NEAR(foliage_estimate(f, 14.1, low_db_per_m).middle.value, 16.240, 0.005);
  EXPECT_NEAR(foliage_estimate(f, 14.001, low_db_per_m).middle.value, 16.231, 0.001);  // held
  EXPECT_NEAR(foliage_estimate(f, 10.0, low_db_per_m).high.value, 17.19, 0.005);
  EXPECT_DOUBLE_EQ(foliage_estimate(f, 10.0, low_db_per_m).low.value, 4.0);
}

TEST(PastFoliage, LiesBetweenTheLeavesAndTheOpaqueScreen) {
  EXPECT_NEAR(loss_past_foliage(Db(7.0), 0.0).value, 7.0, 1e-12);     // the leaves alone
  EXPECT_NEAR(loss_past_foliage(Db(200.0), 0.01).value, 20.0, 1e-6);  // the screen alone
  EXPECT_NEAR(loss_past_foliage(Db(0.0), 0.5).value, 0.0, 1e-12);     // where the leaves end
  // Half the power through, half of the rest round: 3/4.
  EXPECT_NEAR(loss_past_foliage(Db(3.0103), 0.5).value, 1.2494, 1e-4);
  double before = 0.0;
  for (double through = 0.0; through < 60.0; through += 0.1) {
    const double loss = loss_past_foliage(Db(through), 0.01).value;
    EXPECT_LE(loss, through + 1e-9);
    EXPECT_GE(loss, before - 1e-12);
    before = loss;
  }
}

}  // namespace
}  // namespace sim
