#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/street.h"

namespace sim {
namespace {

TEST(Ledger, LevelOfAClearLinkIsThePublishedChain) {
  // EIRP 55 dBm over 66 resource blocks, 28 GHz, 100 m, 9 dBi: 55 - 28.987 - 101.391 + 9 = -66.378
  // dBm without the air's 0.0102 dB (P.525, P.676-13, TS 38.101-2 Table 5.3.2-1).
  test::Street street(test::isotropic_site(20.0));
  street.settings.receiver_gain_dbi = 9.0;
  street.settings.facing = *facing_from("node");
  const LinkResult link = street.link({100.0, 0.0, 20.0});
  EXPECT_EQ(link.sight, Sight::los);
  EXPECT_NEAR(link.rsrp.value, -66.378 - 0.0102, 0.01);
}

TEST(Ledger, ReceivedIsTheSumOfItsParts) {
  ImportedSite site = test::isotropic_site();
  site.buildings.push_back(test::box_building("b", 40, -10, 50, 10, 9));
  site.trees.push_back(
      {.id = "t", .place = {70.0, 0.0}, .height_m = 8, .species_class = "broadleaf"});
  site.site.rain_mm_per_h = 20.0;
  const test::Street street(site);
  const LinkResult link = street.link({90.0, 0.0, 1.5}, ReceiverContext::in_vehicle);
  double sum = link.eirp.value + link.pattern.value + link.receiver_gain.value;
  for (const LossTerm& term : link.terms) sum -= term.loss.value;
  EXPECT_NEAR(link.received.value, sum, 1e-9);
  double groups = 0.0;
  for (const TermGroup group : {TermGroup::free_space, TermGroup::diffraction, TermGroup::foliage,
                                TermGroup::penetration, TermGroup::gas_rain}) {
    groups += link.sum(group).value;
  }
  EXPECT_NEAR(link.path_loss().value, groups, 1e-9);
  for (const LossTerm& term : link.terms) EXPECT_GE(term.loss.value, 0.0) << term.model;
}

TEST(Ledger, EnclosuresCostWhatTheirTablesSay) {
  const test::Street street(test::isotropic_site());
  const ScenePoint place{60.0, 0.0, 1.5};
  const double outdoor = street.link(place).path_loss().value;
  const auto extra = [&](ReceiverContext context) {
    return street.link(place, context).path_loss().value - outdoor;
  };
  EXPECT_NEAR(extra(ReceiverContext::in_vehicle), 9.0, 1e-9);     // TR 38.901 7.4.3.2
  EXPECT_NEAR(extra(ReceiverContext::behind_glass), 7.6, 1e-9);   // Table 7.4.3-1: 2 + 0.2 f
  EXPECT_NEAR(extra(ReceiverContext::body_blocked), 15.0, 1e-9);  // common practice, no source
  EXPECT_EQ(street.link(place, ReceiverContext::in_vehicle).cause, Cause::enclosure);
  EXPECT_EQ(street.link(place, ReceiverContext::body_blocked).cause, Cause::body);
}

TEST(Ledger, SignalToNoiseIsLevelOverThermalNoise) {
  // One 120 kHz subcarrier at 290 K: -123.208 dBm (k T B), plus the noise figure of 10 dB.
  test::Street street(test::isotropic_site());
  street.settings.noise_figure_db = 10.0;
  const LinkResult link = street.link({60.0, 0.0, 1.5});
  EXPECT_NEAR(link.snr.value, link.rsrp.value + 123.208 - 10.0, 0.002);
}

TEST(Ledger, HoldsOnTheThresholdEverySecondTime) {
  test::Street street(test::isotropic_site());
  const ScenePoint place{60.0, 0.0, 1.5};
  street.settings.hold_rsrp = street.link(place).rsrp;
  EXPECT_NEAR(street.link(place).p_hold, 0.5, 1e-9);
  EXPECT_EQ(street.link(place).state, LinkState::hold);
  street.settings.hold_rsrp = street.settings.hold_rsrp + Db(4.0);  // one sigma, line of sight
  EXPECT_NEAR(street.link(place).p_hold, 0.158655, 1e-5);           // normal distribution
  EXPECT_EQ(street.link(place).state, LinkState::marginal);
  street.settings.drop_rsrp = street.settings.hold_rsrp;
  EXPECT_EQ(street.link(place).state, LinkState::drop);
}

TEST(Ledger, BehindTheBeamIsBlamedOnTheSector) {
  ImportedSite site = test::isotropic_site();
  site.nodes[0].sectors[0].pattern = "3gpp-element";
  site.nodes[0].sectors[0].azimuth = Angle::degrees(90.0);
  site.nodes[0].sectors[0].eirp = Dbm(45.0);
  const test::Street street(site);
  EXPECT_EQ(street.link({60.0, 0.0, 1.5}).cause, Cause::none);
  EXPECT_EQ(street.link({-60.0, 0.0, 1.5}).cause, Cause::sector);
}

TEST(Ledger, FarBeyondReachATreeIsNotToBlame) {
  ImportedSite site = test::isotropic_site(6.0);
  site.nodes[0].sectors[0].eirp = Dbm(30.0);
  site.trees.push_back(
      {.id = "t", .place = {50.0, 0.0}, .height_m = 9.0, .species_class = "broadleaf"});
  const LinkResult link = test::Street(site).link({400.0, 0.0, 6.0});
  ASSERT_EQ(link.state, LinkState::drop);
  ASSERT_GT(link.sum(TermGroup::foliage).value, 1.0);
  EXPECT_EQ(link.cause, Cause::distance);
}

TEST(Ledger, OutsideTheBeamIsNamedEvenWhereTheLinkHolds) {
  ImportedSite site = test::isotropic_site();
  site.nodes[0].sectors[0].pattern = "3gpp-element";
  site.nodes[0].sectors[0].azimuth = Angle::degrees(90.0);
  site.nodes[0].sectors[0].eirp = Dbm(65.0);
  const LinkResult link = test::Street(site).link({-30.0, 0.0, 1.5});
  EXPECT_EQ(link.state, LinkState::hold);
  EXPECT_EQ(link.cause, Cause::sector);
}

}  // namespace
}  // namespace sim
