// Leaves on the path: how deep, what they cost, within what band, and the ways past them.
#include "sim/loss/foliage.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/link/foliage_terms.h"
#include "sim/loss/silhouette.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const Frequency f28 = Frequency::ghz(28.0);

/// A tree 10 m high whose crown is a sphere of 3.5 m about 6.5 m: 30 % of the height is trunk.
TreeRecord tree(double x_m, double y_m, const std::string& species = "broadleaf") {
  return {.id = "tree",
          .place = {x_m, y_m},
          .height_m = 10.0,
          .crown_diameter_m = 7.0,
          .species_class = species,
          .source = {"street", "trees", 0}};
}

/// One isotropic node 6.5 m over 0/0 and these trees.
test::Street street_of(std::initializer_list<TreeRecord> trees) {
  ImportedSite site = test::isotropic_site(6.5);
  site.trees.assign(trees);
  return test::Street(site);
}

double foliage_db(const LinkResult& link) { return link.sum(TermGroup::foliage).value; }

double middle_db(double depth_m) { return foliage_estimate(f28, depth_m, 0.4).middle.value; }

std::vector<const LossTerm*> foliage_of(const LinkResult& link) {
  std::vector<const LossTerm*> terms;
  for (const LossTerm& term : link.terms) {
    if (term.group == TermGroup::foliage) terms.push_back(&term);
  }
  return terms;
}

TEST(Foliage, OverlappingCrownsCountOnce) {
  // Spheres about 40 and 44 m: foliage from 36.5 to 47.5 m, 11 m, shared evenly (closed form).
  const test::Street street = street_of({tree(40, 0), tree(44, 0)});
  const LinkResult link = street.link({90.0, 0.0, 6.5});
  const auto terms = foliage_of(link);
  ASSERT_EQ(terms.size(), 2U);
  EXPECT_NEAR(foliage_db(link), middle_db(11.0), 1e-6);
  EXPECT_NEAR(terms[0]->loss.value, terms[1]->loss.value, 1e-6);
  // One inside the other: the outer one's depth.
  ImportedSite site = test::isotropic_site(6.5);
  site.trees = {tree(40, 0), tree(40, 0)};
  site.trees[1].crown_diameter_m = 3.0;
  EXPECT_NEAR(foliage_db(test::Street(site).link({90.0, 0.0, 6.5})), middle_db(7.0), 1e-6);
}

TEST(Foliage, ApartCrownsAddTheirDepths) {
  const test::Street street = street_of({tree(30, 0), tree(60, 0)});
  EXPECT_NEAR(foliage_db(street.link({90.0, 0.0, 6.5})), middle_db(14.0), 1e-6);  // 7 m twice
}

TEST(Foliage, AnEndInsideCountsFromThere) {
  const test::Street street = street_of({tree(40, 0)});
  EXPECT_NEAR(foliage_db(street.link({41.0, 0.0, 6.5})), middle_db(4.5), 1e-6);  // 36.5 to 41 m
  // Both ends inside: the whole path.
  const test::Street within = street_of({tree(0, 0)});
  EXPECT_NEAR(foliage_db(within.link({2.0, 0.0, 7.5})), middle_db(std::sqrt(5.0)), 1e-6);
}

TEST(Foliage, AWoodsClearingIsAir) {
  // 40 m of wood with a clearing of 10 m: 30 m on the path (closed form).
  ImportedSite site = test::isotropic_site(6.5);
  site.woodlands.push_back({.id = "wood",
                            .polygons = {{.shell = {{20, -50}, {60, -50}, {60, 50}, {20, 50}},
                                          .holes = {{{35, -5}, {35, 5}, {45, 5}, {45, -5}}}}},
                            .height_m = 20.0,
                            .species_class = "broadleaf",
                            .source = {"street", "woods", 0}});
  const test::Street street(site);
  const LinkResult link = street.link({90.0, 0.0, 6.5});
  ASSERT_EQ(foliage_of(link).size(), 1U);
  EXPECT_NEAR(foliage_db(link), middle_db(30.0), 1e-6);
  EXPECT_NEAR(foliage_db(street.link({90.0, 20.0, 6.5})),
              middle_db(40.0 * std::hypot(90.0, 20.0) / 90.0), 1e-6);  // beside the clearing
  EXPECT_NEAR(foliage_db(street.link({40.0, 0.0, 6.5})), middle_db(15.0), 1e-6);  // in it
}

TEST(Foliage, WithoutLeavesItCostsLessExceptConifers) {
  test::Street broad = street_of({tree(40, 0)}), pine = street_of({tree(40, 0, "conifer")});
  const ScenePoint place{90.0, 1.0, 5.0};
  const LinkResult leafy = broad.link(place), green = pine.link(place);
  broad.settings.leaf_on = pine.settings.leaf_on = false;
  const LinkResult bare = broad.link(place);
  EXPECT_LT(foliage_db(bare), foliage_db(leafy));
  EXPECT_LT(bare.foliage_low, leafy.foliage_low);
  EXPECT_LT(bare.foliage_high, leafy.foliage_high);
  EXPECT_DOUBLE_EQ(foliage_db(pine.link(place)), foliage_db(green));
  EXPECT_DOUBLE_EQ(foliage_db(green), foliage_db(leafy));
}

TEST(Foliage, BandSurroundsTheLossAndWidensTheChanceToHold) {
  test::Street street = street_of({tree(30, 0), tree(60, 0)});
  const ScenePoint place{90.0, 0.0, 6.5};
  const LinkResult link = street.link(place);
  Db low, high;
  for (const LossTerm* term : foliage_of(link)) {
    ASSERT_TRUE(term->band);
    EXPECT_LE(term->band->low, term->loss);
    EXPECT_GE(term->band->high, term->loss);
    low += term->band->low;
    high += term->band->high;
  }
  EXPECT_NEAR(link.foliage_low.value, 0.4 * 14.0, 1e-9);  // assets/defaults.csv
  EXPECT_NEAR(link.foliage_low.value, low.value, 1e-12);
  EXPECT_NEAR(link.foliage_high.value, high.value, 1e-12);
  EXPECT_NEAR(link.foliage_spread_db, 0.5 * (high - low).value / 1.2816, 1e-9);
  // Two independent normal spreads: at one of their root of squares above the level, 15.87 %.
  const double both = std::hypot(7.82, link.foliage_spread_db);
  street.settings.hold_rsrp = link.rsrp + Db(both);
  EXPECT_NEAR(street.link(place).p_hold, 0.158655, 1e-5);
  EXPECT_EQ(street.link({-60.0, 0.0, 6.5}).foliage_spread_db, 0.0);
}

TEST(Foliage, ChangesSmoothlyAsTheRaySweepsAcrossACrown) {
  // A receiver walks across behind the crown in steps that move the ray by 1 cm there. A chord
  // begins as a square root, the steepest of all: hence a step begins at the very edge.
  const test::Street street = street_of({tree(40, 0)});
  double before = 0.0, deepest = 0.0;
  for (int k = -420; k <= 420; ++k) {
    const double aside = 0.01 * k + 0.005;
    const double loss = foliage_db(street.link({80.0, 2.0 * aside, 6.5}));
    EXPECT_LT(std::abs(loss - before), 0.5) << aside;
    before = loss;
    deepest = std::max(deepest, loss);
  }
  EXPECT_NEAR(deepest, middle_db(7.0), 0.01);
  EXPECT_EQ(before, 0.0);
}

TEST(Foliage, RoundACrownWhereThatIsCheaper) {
  // Through the middle of a street tree the leaves are the cheaper way.
  const test::Street street = street_of({tree(40, 0)});
  const LinkResult middle = street.link({80.0, 0.0, 6.5});
  ASSERT_EQ(foliage_of(middle).size(), 1U);
  EXPECT_EQ(foliage_of(middle)[0]->model, "foliage_decay");
  ImportedSite site = test::isotropic_site(6.5);
  TreeRecord hedge = tree(40, 0);
  hedge.crown_diameter_m = 30.0;  // 30 m through, and the path 0.4 m under its top
  hedge.height_m = 6.9;
  site.trees = {hedge};
  const test::Street tall(site);
  const LinkResult link = tall.link({80.0, 0.0, 6.5});
  ASSERT_EQ(foliage_of(link).size(), 1U);
  const LossTerm& term = *foliage_of(link)[0];
  double through = 0.0;
  for (const Crossing& c : link.path.crossings) {
    if (c.obstacle == term.obstacle) through = middle_db(c.inside_m);
  }
  EXPECT_EQ(term.model, "finite_screen");
  EXPECT_LT(term.loss.value, through);
  // P.526 4.1: 0.4 m above the middle of 80 m at 28 GHz, v = 1.222, J = 15.28 dB, and what comes
  // through besides.
  const double passed = std::pow(10.0, -through / 10.0);
  EXPECT_NEAR(term.loss.value, -10.0 * std::log10(passed + (1.0 - passed) * std::pow(10.0, -1.528)),
              0.02);
}

TEST(Foliage, NeverDearerThanTheLeavesNorCheaperThroughMore) {
  double before = 0.0;
  for (double width = 0.5; width < 30.0; width += 0.25) {
    ImportedSite site = test::isotropic_site(6.5);
    site.trees = {tree(40, 0)};
    site.trees[0].crown_diameter_m = width;
    const double loss = foliage_db(test::Street(site).link({80.0, 0.0, 6.5}));
    EXPECT_LE(loss, middle_db(width) + 1e-9);
    EXPECT_GE(loss, before - 0.1) << width;  // ways worth under 2 % are left out
    before = loss;
  }
}

TEST(Foliage, NoWayRoundThroughAWall) {
  ImportedSite site = test::isotropic_site(6.5);
  TreeRecord hedge = tree(40, 0);
  hedge.crown_diameter_m = 30.0;
  hedge.height_m = 6.9;
  site.trees = {hedge};
  const double open = foliage_db(test::Street(site).link({80.0, 0.0, 6.5}));
  // A beam across above the path, where the way over the crown would pass.
  BuildingRecord beam = test::box_building("beam", 39, -20, 41, 20, 10);
  beam.min_height_m = 6.8;
  site.buildings.push_back(beam);
  EXPECT_GT(foliage_db(test::Street(site).link({80.0, 0.0, 6.5})), open + 3.0);
}

TEST(Foliage, OverAWoodWhereThatIsCheaper) {
  ImportedSite site = test::isotropic_site(12.0);
  site.woodlands.push_back({.id = "wood",
                            .polygons = {{.shell = {{20, -50}, {120, -50}, {120, 50}, {20, 50}}}},
                            .height_m = 13.0,
                            .species_class = "broadleaf",
                            .source = {"street", "woods", 0}});
  const test::Street street(site);
  const LinkResult link = street.link({140.0, 0.0, 12.0});
  ASSERT_EQ(foliage_of(link).size(), 1U);
  EXPECT_EQ(foliage_of(link)[0]->model, "two_edges");
  // Both edges 1 m above a level path, 20 m, 100 m and 20 m apart: more than one edge and less than
  // 100 m of leaves (51.4 dB). P.526 4.3 as the formula book's own checks have it.
  EXPECT_GT(foliage_db(link), 20.0);
  EXPECT_LT(foliage_db(link), 45.0);
}

TEST(Foliage, RoundACrownIsTheKirchhoffFieldBehindARaggedOne) {
  // The four edges of the box against the field behind an ellipse whose outline is ragged by a
  // tenth, in power over 60 of them: within 2 dB. A smooth one has its bright spot instead.
  const double d1 = 40.0, d2 = 40.0, rx = 3.5, rz = 3.0;
  std::uint64_t state = 7;
  for (const double aside : {0.0, 1.0, 2.0, 2.8, 3.2}) {
    constexpr int trees = 60, corners = 64;
    double power = 0.0;
    for (int k = 0; k < trees; ++k) {
      std::vector<OutlinePoint> outline;
      for (int i = 0; i < corners; ++i) {
        const double angle = 2.0 * std::numbers::pi * i / corners;
        const double ragged = 1.0 + 0.1 * (2.0 * test::next_number(state) - 1.0);
        outline.push_back({ragged * rx * std::cos(angle) - aside, ragged * rz * std::sin(angle)});
      }
      power += std::norm(silhouette_field(f28, d1, d2, outline)) / trees;
    }
    const auto edge = [&](double reach) {
      const double v = reach * std::sqrt(2.0 / f28.wavelength_m() * (1.0 / d1 + 1.0 / d2));
      const double j = 6.9 + 20.0 * std::log10(std::sqrt((v - 0.1) * (v - 0.1) + 1.0) + v - 0.1);
      return std::pow(10.0, -j / 10.0);  // P.526 4.1
    };
    const double box = edge(rx - aside) + edge(rx + aside) + 2.0 * edge(rz);
    EXPECT_NEAR(10.0 * std::log10(box), 10.0 * std::log10(power), 2.0) << aside;
  }
}

}  // namespace
}  // namespace sim
