// The streets as a graph, and the walk over it.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sim/plan/route.h"
#include "tests/support/town.h"

namespace sim {
namespace {

WalkerStreet way(const std::string& name, std::vector<Xy> line) {
  return {.id = "way " + name, .name = name, .line = std::move(line), .half_width_m = 4.0};
}

double between(const StreetGraph& graph, Xy a, Xy b) {
  return graph.distance_m(graph.walks_from(*graph.nearest(a)), *graph.nearest(b));
}

/// Streets every 50 m both ways, drawn from end to end without shared corners.
std::vector<WalkerStreet> grid_town() {
  std::vector<WalkerStreet> ways;
  for (int i = 0; i <= 4; ++i) {
    ways.push_back(way("row " + std::to_string(i), {{0.0, 50.0 * i}, {200.0, 50.0 * i}}));
    ways.push_back(way("column " + std::to_string(i), {{50.0 * i, 0.0}, {50.0 * i, 200.0}}));
  }
  return ways;
}

TEST(StreetGraph, OnAGridDistancesAreThoseOfTheTaxi) {
  // On a full grid the shortest walk between two places on crossing streets is |dx| + |dy|.
  const StreetGraph graph(grid_town());
  EXPECT_EQ(graph.corners().size(), 25U);
  EXPECT_EQ(graph.pieces().size(), 40U);
  EXPECT_NEAR(between(graph, {0, 20}, {200, 170}), 350.0, 1e-9);
  EXPECT_NEAR(between(graph, {30, 50}, {150, 110}), 180.0, 1e-9);
  // Two places on parallel rows: the nearer of the two columns beside them.
  EXPECT_NEAR(between(graph, {60, 50}, {70, 100}), 50.0 + 10.0 + 20.0, 1e-9);
}

TEST(StreetGraph, ThePathIsAsLongAsItsDistance) {
  const StreetGraph graph(grid_town());
  const Walks walks = graph.walks_from(*graph.nearest({12, 100}));
  std::uint64_t state = 4;
  for (int i = 0; i < 50; ++i) {
    const double x = 200.0 * test::next_number(state), y = 200.0 * test::next_number(state);
    const Foot to = *graph.nearest({x, y});
    const std::vector<Xy> path = graph.path(walks, to);
    double length = 0.0;
    for (std::size_t k = 0; k + 1 < path.size(); ++k) {
      length += std::hypot(path[k + 1].x - path[k].x, path[k + 1].y - path[k].y);
    }
    EXPECT_NEAR(length, graph.distance_m(walks, to), 1e-9);
  }
}

TEST(StreetGraph, AnEndThatNearlyMeetsAnotherStreetMeetsIt) {
  const StreetGraph graph({way("long", {{0, 0}, {100, 0}}), way("lane", {{40, 60}, {40, 0.8}})});
  EXPECT_NEAR(between(graph, {0, 0}, {40, 60}), 100.0, 1e-9);
}

TEST(StreetGraph, ABridgeCrossesWithoutMeeting) {
  std::vector<WalkerStreet> ways{way("road", {{0, 0}, {100, 0}}),
                                 way("bridge", {{50, -50}, {50, 50}})};
  ways[1].bridge = true;
  EXPECT_TRUE(std::isinf(between(StreetGraph(ways), {0, 0}, {50, 50})));
  ways[1].bridge = false;
  EXPECT_NEAR(between(StreetGraph(ways), {0, 0}, {50, 50}), 100.0, 1e-9);
}

TEST(StreetGraph, NobodyWalksOnAMotorway) {
  std::vector<WalkerStreet> ways{way("motorway", {{0, 0}, {100, 0}})};
  ways[0].walkable = false;
  EXPECT_TRUE(StreetGraph(ways).pieces().empty());
}

TEST(Walk, VisitsAllAndIsAsShortAsTryingEveryOrder) {
  // Against every order of seven places: the heuristic must never be shorter (it would be no walk)
  // and at most 5 % longer.
  std::uint64_t state = 7;
  double worst = 1.0;
  for (int trial = 0; trial < 30; ++trial) {
    std::vector<Xy> places;
    for (int i = 0; i < 8; ++i) {
      const double x = 300.0 * test::next_number(state);
      places.push_back({x, 300.0 * test::next_number(state)});
    }
    std::vector<std::vector<double>> d(8, std::vector<double>(8));
    for (std::size_t i = 0; i < 8; ++i) {
      for (std::size_t j = 0; j < 8; ++j) {
        d[i][j] = std::abs(places[i].x - places[j].x) + std::abs(places[i].y - places[j].y);
      }
    }
    std::vector<std::size_t> order(8);
    std::iota(order.begin(), order.end(), 0U);
    double best = walk_length_m(d, order);
    while (std::next_permutation(order.begin() + 1, order.end())) {
      best = std::min(best, walk_length_m(d, order));
    }
    std::vector<std::size_t> walk = short_walk(d);
    const double length = walk_length_m(d, walk);
    EXPECT_EQ(walk.front(), 0U);
    EXPECT_GE(length, best - 1e-9);
    worst = std::max(worst, length / best);
    std::sort(walk.begin(), walk.end());
    for (std::size_t i = 0; i < 8; ++i) EXPECT_EQ(walk[i], i);
  }
  EXPECT_LT(worst, 1.05);
}

TEST(Walk, TimeFollowsSpeedAndClimb) {
  // MUTCD 3.5 ft/s = 1.07 m/s and Naismith's hour for 600 m of climb, from memory.
  Defaults defaults = test::empty_site().defaults;
  EXPECT_NEAR(walking_time_s(1070.0, 0.0, defaults), 1000.0, 1e-6);
  EXPECT_NEAR(walking_time_s(0.0, 600.0, defaults), 3600.0, 2.0);
}

}  // namespace
}  // namespace sim
