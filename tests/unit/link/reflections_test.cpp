// The ledger with reflected paths.
#include "sim/link/reflections.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/street.h"

namespace sim {
namespace {

ImportedSite with_reflections(ImportedSite site, int order) {
  site.defaults.set({.name = "reflections", .value = 1.0 * order, .source = "test"});
  site.defaults.set({.name = "facade_scattering", .value = 0.0, .source = "test"});
  return site;
}

/// A house before the corner hides the node; a long wall across the street shows it again.
ImportedSite hidden_but_mirrored() {
  ImportedSite site = test::isotropic_site();
  site.buildings.push_back(test::box_building("house", 30, -10, 40, 6, 30));
  site.buildings.push_back(test::box_building("wall", -20, 20, 120, 30, 25));
  return site;
}

double sum_of_the_ledger(const LinkResult& link) {
  double sum =
      link.eirp.value + link.pattern.value + link.receiver_gain.value + link.reflection_gain.value;
  for (const LossTerm& term : link.terms) sum -= term.loss.value;
  return sum;
}

TEST(Reflections, ReceivedIsTheSumOfItsPartsWithThemToo) {
  ImportedSite site = hidden_but_mirrored();
  site.site.rain_mm_per_h = 10.0;
  site.trees.push_back(
      {.id = "t", .place = {50.0, 14.0}, .height_m = 8, .species_class = "broadleaf"});
  const test::Street street(with_reflections(site, 3));
  int reflected = 0;
  for (const double x : {20.0, 60.0, 80.0, 100.0}) {
    const LinkResult link = street.link({x, -2.0, 1.5}, ReceiverContext::in_vehicle);
    EXPECT_NEAR(link.received.value, sum_of_the_ledger(link), 1e-9);
    EXPECT_GE(link.reflection_gain.value, 0.0);
    double power = 0.0;
    for (const ReflectedPath& path : link.reflected) {
      power += (path.pattern - path.loss).power_ratio();
      EXPECT_GT(path.loss, path.free_space);
      ++reflected;
    }
    // Paths in power: the total over the direct one is the gain.
    double direct = link.pattern.value;
    for (const LossTerm& term : link.terms) direct -= term.loss.value;
    EXPECT_NEAR(link.reflection_gain.value,
                10.0 * std::log10(1.0 + power / Db(direct).power_ratio()), 1e-9);
  }
  EXPECT_GT(reflected, 5);
}

TEST(Reflections, NoneUnlessAskedFor) {
  const test::Street street(hidden_but_mirrored());
  const LinkResult link = street.link({70.0, -2.0, 1.5});
  EXPECT_EQ(link.reflection_gain.value, 0.0);
  EXPECT_TRUE(link.reflected.empty());
  EXPECT_LT(link.strongest_reflection, 0);
}

TEST(Reflections, ALinkThatHoldsByOneIsNotBlamedAsDropped) {
  const ScenePoint place{70.0, -2.0, 1.5};
  const test::Street dark(hidden_but_mirrored());
  const test::Street mirrored(with_reflections(hidden_but_mirrored(), 1));
  EXPECT_NE(dark.link(place).state, LinkState::hold);
  const LinkResult link = mirrored.link(place);
  EXPECT_EQ(link.sight, Sight::nlos);
  EXPECT_EQ(link.state, LinkState::hold);
  ASSERT_GE(link.strongest_reflection, 0);
  const ReflectedPath& path = link.reflected[static_cast<std::size_t>(link.strongest_reflection)];
  ASSERT_EQ(path.bounces.size(), 1U);
  EXPECT_EQ(mirrored.scene.obstacles[path.bounces[0].obstacle].id, "wall");
  // Node and receiver stand 20 and 22 m before the wall: the bounce lies at 20/42 of the way.
  EXPECT_NEAR(path.bounces[0].at.x_m, 70.0 * 20.0 / 42.0, 1e-9);
  EXPECT_NEAR(path.length_m, std::hypot(70.0, 42.0, 4.5), 1e-9);
  // The receiver looks at the bounce, not at the node: north of west.
  EXPECT_NEAR(link.arrival_azimuth.degrees(),
              360.0 + std::atan2(-70.0 * 22.0 / 42.0, 22.0) * 180.0 / std::numbers::pi -
                  mirrored.scene.frame.convergence.degrees(),
              1e-6);
}

TEST(Reflections, EachDepartureGoesThroughThePattern) {
  // A sector that looks at the wall favours the bounce over the direct path.
  ImportedSite site = test::isotropic_site();
  site.buildings.push_back(test::box_building("wall", -20, 20, 120, 30, 25));
  const ScenePoint place{40.0, 0.0, 1.5};
  const double flat = test::Street(with_reflections(site, 1)).link(place).reflection_gain.value;
  site.nodes[0].sectors[0].pattern = "3gpp-element";
  site.nodes[0].sectors[0].azimuth = Angle::degrees(45.0);  // towards the bounce
  const double towards = test::Street(with_reflections(site, 1)).link(place).reflection_gain.value;
  site.nodes[0].sectors[0].azimuth = Angle::degrees(135.0);  // away from it
  const double away = test::Street(with_reflections(site, 1)).link(place).reflection_gain.value;
  EXPECT_GT(towards, flat);
  EXPECT_LT(away, flat);
}

TEST(Reflections, WhatStandsOnALegIsPaidFor) {
  ImportedSite site = hidden_but_mirrored();
  const ScenePoint place{70.0, -2.0, 1.5};
  const auto wall_path = [&](const ImportedSite& of) {
    const LinkResult link = test::Street(with_reflections(of, 1)).link(place);
    return link.reflected.at(static_cast<std::size_t>(link.strongest_reflection));
  };
  const ReflectedPath free = wall_path(site);
  EXPECT_EQ(free.foliage.value, 0.0);
  // On the way from the bounce at (33.3, 20) down to the receiver.
  site.trees.push_back({.id = "t",
                        .place = {60.0, 4.0},
                        .height_m = 5,
                        .crown_diameter_m = 6,
                        .species_class = "broadleaf"});
  const ReflectedPath through = wall_path(site);
  EXPECT_GT(through.foliage.value, 1.0);
  EXPECT_NEAR(through.loss.value,
              free.loss.value + through.foliage.value +
                  (through.obstruction.value - free.obstruction.value),
              1e-9);
}

TEST(Reflections, PolarizationFollowsTheFaces) {
  // Vertical on an upright wall in a level plane is TE alone; horizontal is TM alone.
  const Bounce bounce{.at = {10.0, 10.0, 5.0},
                      .normal = {0.0, -1.0, 0.0},
                      .incidence = Angle::degrees(45.0),
                      .te = {-0.5, 0.0},
                      .tm = {0.2, 0.0}};
  const ScenePoint from{0.0, 0.0, 5.0}, to{20.0, 0.0, 5.0};
  EXPECT_NEAR(bounce_loss({bounce}, from, to, "vertical").value, -20.0 * std::log10(0.5), 1e-9);
  EXPECT_NEAR(bounce_loss({bounce}, from, to, "horizontal").value, -20.0 * std::log10(0.2), 1e-9);
  EXPECT_NEAR(bounce_loss({bounce}, from, to, "slant").value,
              -10.0 * std::log10(0.5 * (0.25 + 0.04)), 1e-9);
}

TEST(Reflections, ANodeBehindTheBackStillWorksInANarrowStreet) {
  // Common practice, no source: turned away from the node, a phone in a narrow street hears it by
  // the walls; in the open it loses it.
  ImportedSite open = with_reflections(test::isotropic_site(6.0), 2);
  open.nodes[0].sectors[0].eirp = Dbm(44.0);
  ImportedSite narrow = open;
  narrow.buildings = {test::box_building("north", -40, 6, 120, 20, 15),
                      test::box_building("south", -40, -20, 120, -6, 15),
                      test::box_building("end", 100, -5.9, 110, 5.9, 15)};
  const auto away = [](const ImportedSite& site) {
    const test::Street street(site);
    const Receiver phone{.position = {60.0, 0.0, 1.5}, .facing = facing_from("away")};
    return link_on(street.scene,
                   trace_path(street.caster, 0, Frequency::ghz(28.0), phone, street.settings), 0,
                   street.settings);
  };
  EXPECT_EQ(away(open).state, LinkState::drop);
  EXPECT_NE(away(narrow).state, LinkState::drop);
  EXPECT_GT(away(narrow).rsrp.value, away(open).rsrp.value + 6.0);
}

TEST(Scatter, AWallBesideThePathSendsWhatTheModelSays) {
  // Lambert's lobe of the effective-roughness model (Degli-Esposti et al. 2007, from memory), by
  // midpoint sums over the lit wall.
  ImportedSite site = with_reflections(test::isotropic_site(6.0), 1);
  site.defaults.set({.name = "facade_scattering", .value = 0.4, .source = "test"});
  site.buildings = {test::box_building("wall", -20, 8, 80, 12, 20)};
  const test::Street street(site);
  const ScenePoint node = street.scene.nodes[0].position, phone{50.0, 2.0, 1.5};
  const LinkResult link = street.link(phone);
  const double lambda = Frequency::ghz(28.0).wavelength_m(), pi = std::numbers::pi;
  double whole = 0.0;
  for (double x = -19.75; x < 80; x += 0.5) {
    for (double z = 0.25; z < 20; z += 0.5) {
      const ScenePoint p{x, 8.0, z};
      const double in = distance_m(node, p), out = distance_m(phone, p);
      whole += 0.16 * std::pow(lambda / (4 * pi), 2) * (8.0 / in) * (6.0 / out) * 0.25 /
               (pi * in * in * out * out);
    }
  }
  // Over the direct path and the one by the wall's mirror image.
  double others = std::pow(lambda / (4 * pi * distance_m(node, phone)), 2) *
                  (link.reflection_gain.power_ratio() / link.scattered.power_ratio());
  const double got = (link.scattered.power_ratio() - 1.0) * others;
  EXPECT_NEAR(got, whole, 0.1 * whole);
}

TEST(Scatter, ReachesWhereNoMirrorImageDoes) {
  ImportedSite site = with_reflections(test::isotropic_site(6.0), 1);
  site.defaults.set({.name = "facade_scattering", .value = 0.3, .source = "test"});
  // A wall in front, turned so that its image misses the phone; a house hides the node.
  site.buildings = {test::box_building("house", 30, -20, 40, 3, 25),
                    test::box_building("far wall", 60, 20, 90, 30, 20)};
  const LinkResult link = test::Street(site).link({58.0, -2.0, 1.5});
  EXPECT_EQ(link.sight, Sight::nlos);
  EXPECT_TRUE(link.reflected.empty());
  EXPECT_GT(link.reflection_gain.value, 0.0);
}

}  // namespace
}  // namespace sim
