// Scattering off walls: round corners, by way of mirrors, from either end.
#include "sim/link/facade_scatter.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "sim/link/mirror_surfaces.h"
#include "sim/link/reflections.h"
#include "tests/support/street.h"

namespace sim {
namespace {

constexpr double scattering = 0.3;
constexpr Db no_direct{300.0};

ImportedSite rough(ImportedSite site, int order) {
  site.defaults.set({.name = "reflections", .value = 1.0 * order, .source = "test"});
  site.defaults.set({.name = "facade_scattering", .value = scattering, .source = "test"});
  return site;
}

struct Box {
  double west, south, east, north;
};

/// Two streets 16 m wide cross at the origin, between blocks 20 m high.
constexpr std::array<Box, 4> blocks{
    {{8, 8, 90, 90}, {-90, 8, -8, 90}, {-90, -90, -8, -8}, {8, -90, 90, -8}}};
constexpr double wall_m = 20.0;

ImportedSite crossing() {
  ImportedSite site = test::isotropic_site(6.0);
  for (const Box& b : blocks) {
    site.buildings.push_back(test::box_building("block " + std::to_string(site.buildings.size()),
                                                b.west, b.south, b.east, b.north, wall_m));
  }
  return site;
}

/// Whether a straight line in plan misses all blocks.
bool clear_in_plan(ScenePoint a, ScenePoint b) {
  for (const Box& box : blocks) {
    double enter = 0.0, leave = 1.0;
    const auto clip = [&](double from, double step, double low, double high) {
      if (std::abs(step) < 1e-12) {
        if (from <= low || from >= high) leave = -1.0;
        return;
      }
      const double one = (low - from) / step, other = (high - from) / step;
      enter = std::max(enter, std::min(one, other));
      leave = std::min(leave, std::max(one, other));
    };
    clip(a.x_m, b.x_m - a.x_m, box.west, box.east);
    clip(a.y_m, b.y_m - a.y_m, box.south, box.north);
    if (leave - enter > 1e-9) return false;
  }
  return true;
}

/// Lambert's lobe of one spot of a wall: P_r / P_t, as printed in rough_surface.h.
double lambert(ScenePoint from, ScenePoint to, ScenePoint at, ScenePoint normal, double area_m2) {
  const ScenePoint in = from - at, out = to - at;
  const double r_in = std::sqrt(dot(in, in)), r_out = std::sqrt(dot(out, out));
  const double cos_in = dot(in, normal) / r_in, cos_out = dot(out, normal) / r_out;
  if (cos_in <= 0.0 || cos_out <= 0.0) return 0.0;
  const double wave = Frequency::ghz(28.0).wavelength_m() / (4.0 * std::numbers::pi);
  return scattering * scattering * wave * wave * cos_in * cos_out * area_m2 /
         (std::numbers::pi * r_in * r_in * r_out * r_out);
}

double sum_of(const std::vector<ScatteredPath>& paths) {
  double sum = 0.0;
  for (const ScatteredPath& path : paths) sum += (-path.loss).power_ratio();
  return sum;
}

std::vector<ScatteredPath> scattered(const test::Street& street, ScenePoint to) {
  return trace_scatter(street.caster, 0, Frequency::ghz(28.0), to, no_direct, street.settings);
}

ImportedSite with_node_at(ImportedSite site, double x_m, double y_m, double height_m) {
  site.nodes[0].place = {x_m, y_m};
  site.nodes[0].height_agl_m = height_m;
  return site;
}

TEST(FacadeScatter, RoundACornerIsTheSumOverTheWallsThatBothEndsSee) {
  // Effective-roughness model (Degli-Esposti et al. 2007, from memory) by midpoints of 20 cm; sight
  // by plane geometry. Only the corners themselves are seen from both streets: a strip of 2 m and
  // less on each block.
  for (const double away_m : {25.0, 50.0, 75.0}) {
    const test::Street street(rough(with_node_at(crossing(), -60.0, 1.0, 6.0), 1));
    const ScenePoint node = street.scene.nodes[0].position, phone{-2.0, -away_m, 1.5};
    double whole = 0.0;
    constexpr double step_m = 0.2;
    for (const Box& b : blocks) {
      for (double s = 0.5 * step_m; s < 82.0; s += step_m) {
        const std::array<std::pair<ScenePoint, ScenePoint>, 4> spots{
            {{{b.west, b.south + s, 0.0}, {-1.0, 0.0, 0.0}},
             {{b.east, b.south + s, 0.0}, {1.0, 0.0, 0.0}},
             {{b.west + s, b.south, 0.0}, {0.0, -1.0, 0.0}},
             {{b.west + s, b.north, 0.0}, {0.0, 1.0, 0.0}}}};
        for (const auto& [foot, normal] : spots) {
          const ScenePoint before = foot + 1e-6 * normal;
          if (!clear_in_plan(node, before) || !clear_in_plan(before, phone)) continue;
          for (double z = 0.5 * step_m; z < wall_m; z += step_m) {
            whole += lambert(node, phone, {foot.x_m, foot.y_m, z}, normal, step_m * step_m);
          }
        }
      }
    }
    ASSERT_GT(whole, 0.0);
    EXPECT_NEAR(10.0 * std::log10(sum_of(scattered(street, phone)) / whole), 0.0, 0.6) << away_m;
  }
}

TEST(FacadeScatter, IsTheSameFromEitherEnd) {
  // Reciprocity; what is cut into pieces differs a little.
  for (const int order : {1, 2}) {
    for (const double away_m : {20.0, 45.0, 80.0}) {
      const test::Street there(rough(with_node_at(crossing(), -60.0, 1.0, 6.0), order));
      const test::Street back(rough(with_node_at(crossing(), -2.0, -away_m, 1.5), order));
      const double one = sum_of(scattered(there, {-2.0, -away_m, 1.5}));
      const double other = sum_of(scattered(back, {-60.0, 1.0, 6.0}));
      EXPECT_NEAR(10.0 * std::log10(one / other), 0.0, 0.6) << order << ' ' << away_m;
    }
  }
}

TEST(FacadeScatter, AMirrorShowsAWallFromEitherEnd) {
  // Between two long walls: each seen straight, and by each end in the other wall or the ground.
  // Image theory; midpoints over walls and images.
  ImportedSite site = rough(test::isotropic_site(6.0), 2);
  site.buildings = {test::box_building("north", -90, 8, 150, 20, wall_m),
                    test::box_building("south", -90, -20, 150, -8, wall_m)};
  const test::Street street(site);
  const ScenePoint node = street.scene.nodes[0].position, phone{60.0, 2.0, 1.5};
  const Frequency f = Frequency::ghz(28.0);
  const MirrorSurfaces surfaces(street.scene, f, street.settings);
  const ReflectingFace *wall = nullptr, *ground = nullptr;
  for (const ReflectingFace& face : street.settings.mirrors->faces().all()) {
    if (face.kind == ObstacleKind::ground) ground = &face;
    if (face.kind == ObstacleKind::building && std::abs(face.normal.y_m) > 0.9) wall = &face;
  }
  ASSERT_NE(wall, nullptr);
  ASSERT_NE(ground, nullptr);
  /// Lengths of the way before and after the bounce, square to the mirror, by its image.
  const auto kept = [&](const ReflectingFace& face, ScenePoint image, ScenePoint at,
                        double square_m) {
    return surfaces.power_share(face, Angle::radians(std::acos(square_m / distance_m(image, at))));
  };
  double straight = 0.0, mirrored = 0.0;
  constexpr double step_m = 0.5;
  for (const double side : {1.0, -1.0}) {
    const ScenePoint normal{0.0, -side, 0.0};
    for (double x = -90.0 + 0.5 * step_m; x < 150.0; x += step_m) {
      for (double z = 0.5 * step_m; z < wall_m; z += step_m) {
        const ScenePoint at{x, side * 8.0, z};
        const double area = step_m * step_m;
        straight += lambert(node, phone, at, normal, area);
        const auto across = [&](ScenePoint p) {
          return ScenePoint{p.x_m, -side * 16.0 - p.y_m, p.z_m};
        };
        const auto below = [](ScenePoint p) { return ScenePoint{p.x_m, p.y_m, -p.z_m}; };
        const ScenePoint n1 = across(node), n2 = below(node), p1 = across(phone), p2 = below(phone);
        mirrored +=
            lambert(n1, phone, at, normal, area) * kept(*wall, n1, at, std::abs(at.y_m - n1.y_m)) +
            lambert(n2, phone, at, normal, area) * kept(*ground, n2, at, at.z_m - n2.z_m) +
            lambert(node, p1, at, normal, area) * kept(*wall, p1, at, std::abs(at.y_m - p1.y_m)) +
            lambert(node, p2, at, normal, area) * kept(*ground, p2, at, at.z_m - p2.z_m);
      }
    }
  }
  EXPECT_GT(mirrored, 0.2 * straight);
  const double got = sum_of(scattered(street, phone));
  EXPECT_NEAR(10.0 * std::log10(got / (straight + mirrored)), 0.0, 0.5);
  site = rough(site, 1);
  EXPECT_NEAR(10.0 * std::log10(sum_of(scattered(test::Street(site), phone)) / straight), 0.0, 0.3);
}

TEST(FacadeScatter, PaysTheLeavesOnItsLegs) {
  ImportedSite site = rough(with_node_at(crossing(), -60.0, 1.0, 6.0), 1);
  const ScenePoint phone{-2.0, -40.0, 1.5};
  const double bare = sum_of(scattered(test::Street(site), phone));
  site.trees.push_back({.id = "t",
                        .place = {-1.0, -30.0},
                        .height_m = 6,
                        .crown_diameter_m = 12,
                        .species_class = "broadleaf"});
  const double behind = sum_of(scattered(test::Street(site), phone));
  EXPECT_LT(behind, 0.5 * bare);
  EXPECT_GT(behind, 0.0);
}

TEST(FacadeScatter, ServesRoundACornerWhereNothingIsMirrored) {
  const test::Street street(rough(with_node_at(crossing(), -60.0, 1.0, 6.0), 1));
  const LinkResult round = street.link({-2.0, -60.0, 1.5}), ahead = street.link({-20.0, 1.0, 1.5});
  EXPECT_EQ(round.sight, Sight::nlos);
  EXPECT_TRUE(served_by_walls(round));
  EXPECT_GT(round.scattered.value, 3.0);
  EXPECT_EQ(ahead.sight, Sight::los);
  EXPECT_FALSE(served_by_walls(ahead));  // mirrors add 3 dB, none as strong as the straight way
}

TEST(FacadeScatter, IsNoneForASmoothWall) {
  ImportedSite site = rough(crossing(), 1);
  site.defaults.set({.name = "facade_scattering", .value = 0.0, .source = "test"});
  EXPECT_TRUE(scattered(test::Street(site), {-2.0, -40.0, 1.5}).empty());
}

}  // namespace
}  // namespace sim
