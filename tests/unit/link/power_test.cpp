// From EIRP to the level of a resource element: broadcast and data beam, the way the phone looks,
// and what other sectors do.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/link/interference.h"
#include "sim/link/receiver_panel.h"
#include "tests/support/street.h"

namespace sim {
namespace {

Facing facing(const std::string& text) { return *facing_from(text); }

std::vector<LinkResult> all_links(const test::Street& street, ScenePoint place,
                                  std::optional<Facing> facing = std::nullopt) {
  const Receiver phone{.position = place, .facing = facing};
  std::vector<LinkResult> links;
  for (NodeIndex n = 0; n < street.scene.nodes.size(); ++n) {
    const auto& sectors = street.scene.nodes[n].sectors;
    for (std::uint32_t s = 0; s < sectors.size(); ++s) {
      const TracedPath path =
          trace_path(street.caster, n, sectors[s].frequency, phone, street.settings);
      links.push_back(link_on(street.scene, path, s, street.settings));
    }
  }
  return links;
}

TEST(Power, BroadcastLevelIsTheChainThroughTheWiderBeam) {
  // EIRP 55 dBm over 66 blocks, 28 GHz, 100 m, 9 dBi: -66.378 dBm an element (P.525, TS 38.101-2
  // Table 5.3.2-1), 0.0102 dB of air; 16 of 64 elements for the broadcast beam: 6.0206 dB less.
  ImportedSite site = test::isotropic_site(20.0);
  site.nodes[0].sectors[0].pattern = "3gpp-array";
  site.nodes[0].sectors[0].azimuth = Angle::degrees(90.0);
  test::Street street(site);
  street.settings.receiver_gain_dbi = 9.0;
  street.settings.facing = facing("node");
  const LinkResult link = street.link({100.0, 0.0, 20.0});
  EXPECT_NEAR(link.per_element.value, -66.378 - 0.0102, 0.01);
  EXPECT_NEAR(link.rsrp.value, -66.378 - 0.0102 - 6.0206, 0.01);
  // The data beam carries the rate: SNR over kTB of a subcarrier, -123.208 dBm, and 10 dB.
  street.settings.noise_figure_db = 10.0;
  EXPECT_NEAR(street.link({100.0, 0.0, 20.0}).snr.value, -66.388 + 123.208 - 10.0, 0.01);
}

TEST(Power, SensitivityOfTheStandardIsOurNoiseWithItsFigure) {
  // REFSENS of n257 in 100 MHz, -85.3 dBm over 66 blocks (TS 38.101-2 Table 7.3.2.3-1): with the
  // usual SNR of -1 dB (an assumption) it leaves 9.92 dB for noise figure and losses less the
  // panel's gain, against the noise figure of 10 dB.
  test::Street street(test::isotropic_site());
  street.settings.noise_figure_db = 10.0;
  const Dbm per_element(-85.3 - 10.0 * std::log10(12.0 * 66.0));
  EXPECT_NEAR((per_element - noise_level(street.settings)).value, -1.0, 0.1);
}

TEST(Panel, TurningAwayCostsTheGapOfTheStandard) {
  // TS 38.101-2: least peak over 50 % of the sphere, power class 3: n257 22.4 - 11.5, n260 20.6 -
  // 8.
  const test::Street street(test::isotropic_site());
  const auto level = [&](const std::string& way) {
    return all_links(street, {60.0, 0.0, 1.5}, facing(way))[0];
  };
  const LinkResult ahead = level("node"), away = level("away");
  EXPECT_NEAR((ahead.rsrp - level("held").rsrp).value, 22.4 - 11.5, 1e-9);
  EXPECT_NEAR(away.turned_away.value, 30.0, 1e-9);  // TR 38.901 Table 7.3-1, A_max
  EXPECT_NEAR((ahead.received - away.received).value, 30.0, 1e-9) << "the ledger still adds up";
  EXPECT_NEAR(away.path_loss().value, ahead.path_loss().value, 1e-12);
  EXPECT_NEAR(
      panel_gain(Angle::degrees(90.0), Frequency::ghz(39.0), street.settings.defaults).value,
      -(20.6 - 8.0), 1e-9);
  // The node lies due west: 270 degrees.
  EXPECT_NEAR((ahead.rsrp - level("270").rsrp).value, 0.0, 0.1) << "but for 4 degrees of height";
  EXPECT_NEAR((ahead.rsrp - level("180").rsrp).value, 10.9, 0.1);
  EXPECT_NEAR((ahead.rsrp - level("225").rsrp).value, 10.9 / 4.0, 0.1) << "square law";
}

TEST(Panel, AReflectionInFrontIsHeardInFull) {
  const Arrival node{Angle::degrees(270.0), Angle::degrees(3.0)};
  const Arrival wall{Angle::degrees(90.0), Angle::degrees(-3.0)};
  EXPECT_NEAR(panel_angle(facing("away"), node, wall).degrees(), 0.0, 1e-5);
  EXPECT_NEAR(panel_angle(facing("away"), node, node).degrees(), 180.0, 1e-5);
  EXPECT_NEAR(panel_angle(facing("node"), node, wall).degrees(), 180.0, 1e-5);
  EXPECT_NEAR(panel_angle(facing("0"), node, wall).degrees(), 90.0, 1e-5);
}

TEST(Panel, TurnedAwayIsBlamedOnTheBody) {
  const test::Street street(test::isotropic_site());
  const Receiver phone{.position = {60.0, 0.0, 1.5}, .facing = facing("away")};
  const Frequency f = Frequency::ghz(28.0);
  const LinkResult link = link_on(
      street.scene, trace_path(street.caster, 0, f, phone, street.settings), 0, street.settings);
  EXPECT_EQ(link.cause, Cause::body);
}

TEST(Panel, BodyBetweenAndTurnedAwayLieWithinWhatWasMeasured) {
  // 12.66 dB at 26 GHz (IJAP 2017 art. 2961090 Table 2) to 40 dB at 73 GHz (MacCartney 2016, from
  // memory).
  const test::Street street(test::isotropic_site());
  const Receiver clear{.position = {60.0, 0.0, 1.5}, .facing = facing("node")};
  const Receiver behind{.position = {60.0, 0.0, 1.5},
                        .context = ReceiverContext::body_blocked,
                        .facing = facing("away")};
  const auto level = [&](const Receiver& phone) {
    return link_on(street.scene,
                   trace_path(street.caster, 0, Frequency::ghz(28.0), phone, street.settings), 0,
                   street.settings)
        .rsrp;
  };
  const double cost = (level(clear) - level(behind)).value;
  EXPECT_GT(cost, 12.66);
  EXPECT_LT(cost, 45.0);
}

TEST(Interference, TwoEqualSectorsOfOneBandShareIt) {
  // SINR = 1 / (N/S + load I/S): closed form, I = S for two isotropic sectors of one node.
  ImportedSite site = test::isotropic_site();
  site.nodes[0].sectors.push_back(site.nodes[0].sectors[0]);
  site.nodes[0].sectors[1].id = "b";
  const test::Street street(site);
  std::vector<LinkResult> links = all_links(street, {60.0, 0.0, 1.5});
  const std::vector<LinkResult> alone = links;
  add_interference(street.scene, links, street.settings);
  const double load = street.settings.defaults("neighbour_load");
  const double expected = -10.0 * std::log10(std::pow(10.0, -alone[0].snr.value / 10.0) + load);
  EXPECT_NEAR(links[0].snr.value, expected, 1e-9);
  EXPECT_NEAR(links[1].snr.value, expected, 1e-9);
  EXPECT_EQ(links[0].rsrp.value, alone[0].rsrp.value) << "the level itself is not touched";
  EXPECT_LT(links[0].downlink_mbps, alone[0].downlink_mbps);
}

TEST(Interference, AnotherBandOrNoOtherSectorChangesNothing) {
  ImportedSite site = test::isotropic_site();
  site.nodes[0].sectors.push_back(site.nodes[0].sectors[0]);
  site.nodes[0].sectors[1].id = "b";
  site.nodes[0].sectors[1].frequency = Frequency::ghz(39.0);
  const test::Street street(site);
  std::vector<LinkResult> links = all_links(street, {60.0, 0.0, 1.5});
  const std::vector<LinkResult> alone = links;
  add_interference(street.scene, links, street.settings);
  for (std::size_t i = 0; i < links.size(); ++i) {
    EXPECT_EQ(links[i].snr.value, alone[i].snr.value);
    EXPECT_EQ(links[i].downlink_mbps, alone[i].downlink_mbps);
  }
}

TEST(Interference, ThePhonesOwnBackShieldsItFromTheOtherNode) {
  // A phone between two like nodes faces the one: the other comes from behind, 30 dB down.
  ImportedSite site = test::isotropic_site(6.0);
  site.nodes.push_back(site.nodes[0]);
  site.nodes[1].id = "far side";
  site.nodes[1].place = {120.0, 0.0};
  const test::Street street(site);
  std::vector<LinkResult> links = all_links(street, {60.0, 0.0, 6.0}, facing("node"));
  const double noise_over_signal = std::pow(10.0, -links[0].snr.value / 10.0);
  add_interference(street.scene, links, street.settings);
  const double load = street.settings.defaults("neighbour_load");
  EXPECT_NEAR(links[0].snr.value,
              -10.0 * std::log10(noise_over_signal + load * std::pow(10.0, -3.0)), 1e-6);
}

TEST(Sectors, ThreeLookThreeWaysAndTrueNorthHolds) {
  ImportedSite site = test::isotropic_site();
  site.convergence = Angle::degrees(2.0);  // grid north lies 2 degrees clockwise of true north
  auto& sectors = site.nodes[0].sectors;
  sectors[0].pattern = "3gpp-element";
  for (const double azimuth : {0.0, 120.0, 240.0}) {
    if (azimuth > 0.0) sectors.push_back(sectors[0]);
    sectors.back().id = std::to_string(static_cast<int>(azimuth));
    sectors.back().azimuth = Angle::degrees(azimuth);
  }
  const test::Street street(site);
  for (int grid_azimuth = 5; grid_azimuth < 360; grid_azimuth += 30) {
    const double a = Angle::degrees(grid_azimuth).radians();
    const auto links = all_links(street, {50.0 * std::sin(a), 50.0 * std::cos(a), 1.5});
    EXPECT_NEAR(links[0].azimuth.degrees(), grid_azimuth + 2.0, 1e-6);
    const auto best = std::max_element(
        links.begin(), links.end(), [](const auto& x, const auto& y) { return x.rsrp < y.rsrp; });
    EXPECT_EQ(best->sector, static_cast<std::uint32_t>((grid_azimuth + 2 + 60) / 120 % 3))
        << grid_azimuth;
  }
}

}  // namespace
}  // namespace sim
