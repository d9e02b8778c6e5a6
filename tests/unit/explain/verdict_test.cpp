// The readings weighed against each other, on hand-made rows.
#include "sim/explain/verdict.h"

#include <gtest/gtest.h>

#include "tests/support/street.h"

namespace sim {
namespace {

struct VerdictTest : testing::Test {
  test::Street street{test::isotropic_site()};
  LinkResult link = street.link({60.0, 0.0, 1.5});
  std::vector<double> here{link.rsrp.value};

  Measurement measured(double residual_db) const {
    Measurement m;
    m.rsrp_dbm = link.rsrp.value + residual_db;
    return m;
  }
};

TEST_F(VerdictTest, SmallResidualsAreAsMapped) {
  for (const double residual : {-4.0, 0.0, 4.0}) {
    const Verdict verdict = weigh(link, measured(residual), 0.0, here, street.settings);
    EXPECT_EQ(verdict.reading, Reading::as_mapped) << residual;
    EXPECT_GT(verdict.confidence, 0.7) << residual;
  }
}

TEST_F(VerdictTest, FarBelowIsWeakerAndFarAboveStronger) {
  const Verdict below = weigh(link, measured(-25.0), 0.0, here, street.settings);
  EXPECT_EQ(below.reading, Reading::weaker);
  EXPECT_GT(below.confidence, 0.9);
  EXPECT_EQ(weigh(link, measured(25.0), 0.0, here, street.settings).reading, Reading::stronger);
}

TEST_F(VerdictTest, ALevelFoundNearbyIsThePosition) {
  const std::vector<double> edge{link.rsrp.value, link.rsrp.value - 25.0, link.rsrp.value - 25.0,
                                 link.rsrp.value - 25.0};
  EXPECT_EQ(weigh(link, measured(-25.0), 0.0, edge, street.settings).reading, Reading::position);
}

TEST_F(VerdictTest, GoodLevelAndBadRateIsLoad) {
  Measurement m = measured(0.0);
  m.downlink_mbps = 0.1 * link.downlink_mbps;
  EXPECT_EQ(weigh(link, m, 0.0, here, street.settings).reading, Reading::load);
  m.downlink_mbps = 0.9 * link.downlink_mbps;
  EXPECT_EQ(weigh(link, m, 0.0, here, street.settings).reading, Reading::as_mapped);
}

TEST_F(VerdictTest, ALostConnectionWhereItShouldHoldIsWeaker) {
  Measurement m;
  m.connected = false;
  EXPECT_EQ(weigh(link, m, 0.0, here, street.settings).reading, Reading::weaker);
  m.connected = true;
  EXPECT_EQ(weigh(link, m, 0.0, here, street.settings).reading, Reading::as_mapped);
}

TEST_F(VerdictTest, AnOffsetOfTheWholeNodeIsAllowedFor) {
  EXPECT_EQ(weigh(link, measured(-15.0), -15.0, here, street.settings).reading, Reading::as_mapped);
  EXPECT_EQ(weigh(link, measured(0.0), -15.0, here, street.settings).reading, Reading::stronger);
}

TEST_F(VerdictTest, ARowThatSaysNothingHasNoConfidence) {
  EXPECT_EQ(weigh(link, Measurement{}, 0.0, here, street.settings).confidence, 0.0);
}

TEST(Evidence, IsANormalDensityOrAShare) {
  // Standard normal density at 0 and 1, distribution at 1 (tables of the normal distribution).
  EXPECT_NEAR(likelihood({.level_dbm = -90.0}, -90.0, 1.0), 0.398942, 1e-6);
  EXPECT_NEAR(likelihood({.level_dbm = -89.0}, -90.0, 1.0), 0.241971, 1e-6);
  EXPECT_NEAR(likelihood({.at_most_dbm = -89.0}, -90.0, 1.0), 0.841345, 1e-6);
  EXPECT_NEAR(likelihood({.at_least_dbm = -89.0}, -90.0, 1.0), 0.158655, 1e-6);
}

}  // namespace
}  // namespace sim
