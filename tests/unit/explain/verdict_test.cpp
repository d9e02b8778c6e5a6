// The readings weighed against each other, on hand-made rows.
#include "sim/explain/verdict.h"

#include <gtest/gtest.h>

#include "sim/link/rate.h"
#include "tests/support/street.h"

namespace sim {
namespace {

struct VerdictTest : testing::Test {
  test::Street street{test::isotropic_site()};
  LinkResult link = street.link({60.0, 0.0, 1.5});
  std::vector<PossiblePlace> here{{ReceiverPoint{.receiver = link.receiver}, link}};

  Measurement measured(double residual_db) const {
    Measurement m;
    m.rsrp_dbm = link.rsrp.value + residual_db;
    return m;
  }
  Verdict weighed(const Measurement& m, double offset_db = 0.0) const {
    return weigh(here, m, offset_db, street.settings);
  }
  /// Places that the map takes `db` from, beside the reported one.
  void add_shadow(int places, double db) {
    for (int k = 0; k < places; ++k) {
      here.push_back(here[0]);
      here.back().link.rsrp = link.rsrp - Db(db);
    }
  }
};

TEST_F(VerdictTest, SharesSumToOne) {
  add_shadow(5, 20.0);
  for (const double residual : {-30.0, -10.0, 0.0, 10.0}) {
    const Verdict v = weighed(measured(residual));
    double sum = v.weaker + v.stronger + v.load;
    for (const double share : v.as_mapped) sum += share;
    EXPECT_NEAR(sum, 1.0, 1e-12) << residual;
  }
}

TEST_F(VerdictTest, SmallResidualsAreAsMapped) {
  for (const double residual : {-4.0, 0.0, 4.0}) {
    EXPECT_GT(weighed(measured(residual)).as_mapped[0], 0.7) << residual;
  }
}

TEST_F(VerdictTest, FarBelowIsWeakerAndFarAboveStronger) {
  EXPECT_GT(weighed(measured(-25.0)).weaker, 0.9);
  EXPECT_GT(weighed(measured(25.0)).stronger, 0.9);
}

TEST_F(VerdictTest, ALevelFoundNearbyIsThatPlace) {
  add_shadow(3, 25.0);
  const Verdict v = weighed(measured(-25.0));
  EXPECT_GT(v.as_mapped[1] + v.as_mapped[2] + v.as_mapped[3], 0.8);
  EXPECT_LT(v.as_mapped[0], 0.01);
}

TEST_F(VerdictTest, GoodLevelAndBadRateIsLoad) {
  Measurement m = measured(0.0);
  m.downlink_mbps = 0.1 * link.downlink_mbps;
  EXPECT_GT(weighed(m).load, 0.8);
  m.downlink_mbps = 0.9 * link.downlink_mbps;
  EXPECT_LT(weighed(m).load, 0.1);
}

TEST_F(VerdictTest, TheRateIsJudgedByTheMeasuredLevel) {
  // Far weaker than the map says, but the rate is what that level gives: no load.
  Measurement m = measured(-25.0);
  LinkResult weak = link;
  weak.snr = link.snr - Db(25.0);
  set_rates(weak, street.settings);
  m.downlink_mbps = weak.downlink_mbps;
  EXPECT_GT(weighed(m).weaker, 0.9);
}

TEST_F(VerdictTest, ALostConnectionWhereItShouldHoldIsWeaker) {
  Measurement m;
  m.connected = false;
  EXPECT_GT(weighed(m).weaker, 0.8);
  m.connected = true;
  EXPECT_GT(weighed(m).as_mapped[0], 0.6);
}

TEST_F(VerdictTest, OfALinkThatTheMapLosesNothingElseIsTheCause) {
  here[0].link.rsrp = street.settings.drop_rsrp - Db(30.0);
  Measurement m;
  m.connected = false;
  EXPECT_GT(weighed(m).as_mapped[0], 0.95);
}

TEST_F(VerdictTest, AnOffsetOfTheWholeNodeIsAllowedFor) {
  EXPECT_GT(weighed(measured(-15.0), -15.0).as_mapped[0], 0.7);
  EXPECT_GT(weighed(measured(0.0), -15.0).stronger, 0.5);
}

TEST_F(VerdictTest, ARowThatSaysNothingHasNoShares) {
  const Verdict v = weighed(Measurement{});
  EXPECT_EQ(v.as_mapped[0] + v.weaker + v.stronger + v.load, 0.0);
  EXPECT_EQ(weaker_log_ratio(v), 0.0);
}

TEST_F(VerdictTest, EvidenceForSomethingMissingIsWithoutThePrior) {
  EXPECT_GT(weaker_log_ratio(weighed(measured(-25.0))), 3.0);
  EXPECT_LT(weaker_log_ratio(weighed(measured(0.0))), -2.0);
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
