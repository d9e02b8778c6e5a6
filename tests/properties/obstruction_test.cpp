// Physics that must hold whatever the street: more in the way never helps, and a step never jumps.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/link/link.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

/// Owns the scene its caster looks at.
struct Town {
  explicit Town(const ImportedSite& site)
      : scene(build_scene(site, report)), caster(scene), settings(link_settings(scene)) {}
  double direct(const Receiver& receiver) const {
    const TracedPath traced =
        trace_path(caster, 0, scene.nodes[0].sectors[0].frequency, receiver, settings);
    double sum = 0.0;
    for (const LossTerm& term : traced.terms) {
      if (term.group == TermGroup::diffraction) sum += term.loss.value;
    }
    return sum;
  }
  ImportReport report;
  Scene scene;
  RayCaster caster;
  LinkSettings settings;
};

ScenePoint place_in(const ImportedSite& site, std::uint64_t& state, const Scene& scene) {
  const double w = site.area_east_m - site.area_west_m, h = site.area_north_m - site.area_south_m;
  const double x = (test::next_number(state) - 0.5) * 0.8 * w,
               y = (test::next_number(state) - 0.5) * 0.8 * h;
  const double ground = scene.ground.height_at(x, y);
  return {x, y, (std::isnan(ground) ? 0.0 : ground) + 1.5};
}

TEST(ObstructionProperty, AnOpaqueThingAddedNeverRaisesTheDirectPath) {
  std::uint64_t state = 5;
  int compared = 0, touched = 0;
  double worst = 0.0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    ImportedSite site = test::town(seed, {.blocks = 3, .terrain = seed % 2 == 0});
    const Town before(site);
    const ScenePoint spot = place_in(site, state, before.scene);
    const MapPoint at = before.scene.frame.map_from_scene(spot);
    switch (seed % 3) {
      case 0:
        site.buildings.push_back(test::box_building("added", at.x_m - 4, at.y_m - 3, at.x_m + 5,
                                                    at.y_m + 6, 7.0 + static_cast<double>(seed)));
        break;
      case 1:
        site.poles.push_back(
            {.id = "added", .place = {at.x_m, at.y_m}, .height_m = 9.0, .diameter_m = 0.4});
        break;
      default:
        site.objects.push_back({.id = "added",
                                .kind = ObjectKind::truck,
                                .place = Xy{at.x_m, at.y_m},
                                .length_m = 12.0,
                                .width_m = 2.5,
                                .height_m = 4.0,
                                .heading = Angle::degrees(30.0 * static_cast<double>(seed)),
                                .material = "metal"});
    }
    const Town after(site);
    for (int i = 0; i < 400; ++i) {
      ScenePoint b = place_in(site, state, before.scene);
      if (i % 2 == 0) {  // behind the added thing, where it matters
        const ScenePoint a = before.scene.nodes[0].position;
        const double t = 1.02 + 0.5 * test::next_number(state);
        b = a + t * (spot - a) +
            ScenePoint{2.0 * test::next_number(state) - 1.0, 2.0 * test::next_number(state) - 1.0,
                       0.0};
        const double ground = before.scene.ground.height_at(b.x_m, b.y_m);
        if (std::isnan(ground)) continue;
        b.z_m = ground + 1.5;
      }
      const double without = before.direct({.position = b}), with = after.direct({.position = b});
      ++compared;
      touched += with > without + 0.5;
      worst = std::max(worst, without - with);
      EXPECT_GE(with, without - 0.05)
          << "seed " << seed << " point " << i << ": " << without << " -> " << with;
    }
  }
  EXPECT_GT(compared, 3000);
  EXPECT_GT(touched, 200);
  RecordProperty("largest_fall_db", std::to_string(worst));
}

TEST(ObstructionProperty, AStepOfFiveCentimetresNeverJumps) {
  // Outside shadow boundaries, where a thing's whole outline enters the path at once, a step of 5
  // cm changes the direct path by less than 3 dB.
  std::uint64_t state = 11;
  int steps = 0, jumps = 0;
  for (std::uint64_t seed = 21; seed <= 24; ++seed) {
    const ImportedSite site = test::town(seed, {.blocks = 3});
    const Town town(site);
    for (int walk = 0; walk < 6; ++walk) {
      const ScenePoint from = place_in(site, state, town.scene);
      const double turn = 2.0 * std::numbers::pi * test::next_number(state);
      double before = 0.0;
      std::size_t before_count = 0;
      for (int i = 0; i < 400; ++i) {
        ScenePoint p = from + (0.05 * i) * ScenePoint{std::cos(turn), std::sin(turn), 0.0};
        const double ground = town.scene.ground.height_at(p.x_m, p.y_m);
        if (std::isnan(ground)) break;
        p.z_m = ground + 1.5;
        const TracedPath traced =
            trace_path(town.caster, 0, town.scene.nodes[0].sectors[0].frequency, {.position = p},
                       town.settings);
        double loss = 0.0;
        for (const LossTerm& t : traced.terms) {
          if (t.group == TermGroup::diffraction) loss += t.loss.value;
        }
        // Deeper than 40 dB nothing is decided any more.
        if (i > 0 && std::min(loss, before) < 40.0 &&
            traced.path.crossings.size() == before_count) {
          ++steps;
          jumps += std::abs(loss - before) > 3.0;
        }
        before = loss;
        before_count = traced.path.crossings.size();
      }
    }
  }
  EXPECT_GT(steps, 2000);
  // A detour that begins to touch one more corner crosses a shadow boundary of its own.
  EXPECT_LE(jumps, steps / 1000) << " of " << steps;
}

}  // namespace
}  // namespace sim
