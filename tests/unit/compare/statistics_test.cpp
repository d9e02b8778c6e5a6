// Intervals of shares, correlations and edges against published values and closed forms.
#include <gtest/gtest.h>

#include <boost/math/distributions/binomial.hpp>
#include <cmath>
#include <random>

#include "sim/compare/agreement.h"
#include "sim/compare/hold_edge.h"
#include "sim/compare/proportions.h"

namespace sim {
namespace {

// R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3: the score interval
// of 81/263, 15/148, 0/20 and 1/29 (from memory).
TEST(Wilson, IntervalsAreThoseOfNewcombesTable) {
  struct Row {
    double seen, n, low, high;
  };
  for (const Row& row : {Row{81, 263, 0.2553, 0.3662}, Row{15, 148, 0.0624, 0.1605},
                         Row{0, 20, 0.0, 0.1611}, Row{1, 29, 0.0061, 0.1718}}) {
    const ConfidenceInterval i = wilson_interval(row.seen / row.n, row.n, 0.95);
    EXPECT_NEAR(i.low, row.low, 6e-5) << row.seen;
    EXPECT_NEAR(i.high, row.high, 6e-5) << row.seen;
  }
  EXPECT_TRUE(std::isnan(wilson_interval(0.5, 0.0, 0.95).low));
}

// R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, table II, method 10: 56/70 less 48/80,
// and 10/10 less 0/20 (from memory).
TEST(ShareDifference, IntervalsAreThoseOfNewcombesTable) {
  const ConfidenceInterval a =
      share_difference_interval({{56.0 / 70.0, 70.0, 48.0 / 80.0, 80.0}}, 0.95);
  EXPECT_NEAR(a.low, 0.0524, 6e-5);
  EXPECT_NEAR(a.high, 0.3339, 6e-5);
  const ConfidenceInterval b = share_difference_interval({{1.0, 10.0, 0.0, 20.0}}, 0.95);
  EXPECT_NEAR(b.low, 0.6791, 6e-5);
  EXPECT_NEAR(b.high, 1.0, 6e-5);
}

// Fisher's z by hand: atanh 0.6 = 0.693147, 1.959964 / sqrt(27) = 0.377195.
TEST(Correlation, IntervalIsFishers) {
  const ConfidenceInterval i = correlation_interval(0.6, 30, 0.95);
  EXPECT_NEAR(std::atanh(i.low), 0.693147 - 0.377195, 1e-5);
  EXPECT_NEAR(std::atanh(i.high), 0.693147 + 0.377195, 1e-5);
  EXPECT_TRUE(std::isnan(correlation_interval(0.6, 3, 0.95).low));
}

// Anscombe's first set (American Statistician 27, 1973): correlation 0.816.
TEST(Agreement, CorrelationOfAnscombesSet) {
  const std::vector<double> x{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5};
  const std::vector<double> y{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68};
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < x.size(); ++i) pairs.push_back({x[i], y[i], y[i] - x[i]});
  const Agreement a = agreement_of(pairs, {});
  EXPECT_NEAR(a.correlation, 0.816, 5e-4);
  EXPECT_EQ(a.count, 11U);
  EXPECT_NEAR(a.bias, -1.16, 1e-12);  // the sixth of the eleven differences, by hand
}

// With points at two distances the fit is saturated, and Firth's penalty adds half a success and
// half a failure at each (D. Firth, Biometrika 80, 1993, section 3; from memory): a closed form.
TEST(HoldCurve, OfTwoDistancesIsHaldanesLogOdds) {
  std::vector<HoldPoint> points;
  for (int i = 0; i < 9; ++i) points.push_back({100.0, i < 8 ? 1.0 : 0.0});
  for (int i = 0; i < 6; ++i) points.push_back({200.0, i < 1 ? 1.0 : 0.0});
  const auto curve = fit_hold_curve(points);
  ASSERT_TRUE(curve.has_value());
  EXPECT_NEAR(curve->at(100.0), 8.5 / 10.0, 1e-7);
  EXPECT_NEAR(curve->at(200.0), 1.5 / 7.0, 1e-7);
}

// Near points all hold and far ones none: plain likelihood has no maximum.
TEST(HoldCurve, StaysFiniteWhereNothingOverlaps) {
  std::vector<HoldPoint> points;
  for (int d = 10; d <= 200; d += 10) {
    points.push_back({static_cast<double>(d), d <= 100 ? 1.0 : 0.0});
  }
  const auto found = hold_edges(points, nullptr);
  ASSERT_TRUE(found.has_value());
  EXPECT_NEAR(found->edges[1].distance_m, 105.0, 1e-6);  // by symmetry
  EXPECT_LT(found->edges[0].distance_m, 105.0);
  EXPECT_GT(found->edges[2].distance_m, 105.0);
  EXPECT_FALSE(fit_hold_curve({{50.0, 1.0}, {50.0, 0.0}}).has_value());
}

TEST(HoldEdge, BeyondWhatWasAskedIsSaidToBeOpen) {
  std::vector<HoldPoint> points;
  for (int d = 10; d <= 200; d += 10) {
    points.push_back({static_cast<double>(d), d == 190 ? 0.0 : 1.0});
  }
  const auto found = hold_edges(points, nullptr);
  ASSERT_TRUE(found.has_value());
  EXPECT_TRUE(found->edges[1].beyond);
  EXPECT_DOUBLE_EQ(found->edges[1].distance_m, 200.0);
}

// Pooled by hand: 0.5 and 0.75 make 0.625 twice.
TEST(EdgesOfAll, PoolNeighboursThatDoNotFall) {
  const auto found = edges_of_all({{40.0, 0.2}, {10.0, 1.0}, {20.0, 0.5}, {30.0, 0.75}});
  ASSERT_TRUE(found.has_value());
  EXPECT_DOUBLE_EQ(found->edges[0].distance_m, 10.0);
  EXPECT_DOUBLE_EQ(found->edges[1].distance_m, 30.0);
  EXPECT_TRUE(found->edges[2].beyond);
  const auto none = edges_of_all({{10.0, 0.05}, {20.0, 0.05}});
  ASSERT_TRUE(none.has_value());
  EXPECT_TRUE(none->edges[2].before);
  EXPECT_FALSE(edges_of_all({}).has_value());
}

// Truth by simulation: holding falls along a known logistic curve from 0.9 at 95 m over a half at
// 150 m; 120 trials of 0.95 have a standard deviation of 2 %.
TEST(HoldEdge, IntervalsHoldTheTruthAsOftenAsTheySay) {
  constexpr double half_m = 150.0, scale_m = 25.0;
  std::mt19937_64 engine(42);
  std::uniform_real_distribution<double> uniform(0.0, 1.0);
  constexpr int trials = 120;
  int held = 0;
  double bias = 0.0;
  for (int t = 0; t < trials; ++t) {
    std::vector<HoldPoint> points(80);
    for (HoldPoint& p : points) {
      p.distance_m = 300.0 * uniform(engine);
      p.held = uniform(engine) < 1.0 / (1.0 + std::exp((p.distance_m - half_m) / scale_m));
    }
    const BootstrapSettings settings{.draws = 300, .seed = 5, .share = 0.95};
    const auto found = hold_edges(points, &settings);
    ASSERT_TRUE(found.has_value());
    const HoldEdge& half = found->edges[1];
    held += half.interval.low <= half_m && half_m <= half.interval.high ? 1 : 0;
    bias += (half.distance_m - half_m) / trials;
  }
  const double share = static_cast<double>(held) / trials;
  RecordProperty("coverage", std::to_string(share));
  EXPECT_GE(share, 0.89);
  EXPECT_LE(share, 0.995);
  EXPECT_NEAR(bias, 0.0, 3.0);
}

// The exact interval between two order statistics, by the binomial distribution: its ranks for n =
// 10, 20 and 50 are 2-9, 6-15 and 18-33 with 97.9, 95.9 and 96.7 % (W. J. Conover, Practical
// Nonparametric Statistics, table A3 and section 3.2; from memory). The bootstrap's interval of the
// median lies at these or one rank from them.
TEST(Bootstrap, MedianIntervalIsThatOfTheOrderStatistics) {
  struct Row {
    int n, low, high;
    double confidence;
  };
  for (const Row& row : {Row{10, 2, 9, 0.979}, Row{20, 6, 15, 0.959}, Row{50, 18, 33, 0.967}}) {
    const boost::math::binomial fair(row.n, 0.5);
    const double exact = boost::math::cdf(fair, row.high - 1) - boost::math::cdf(fair, row.low - 1);
    EXPECT_NEAR(exact, row.confidence, 6e-4);
    std::vector<double> ranks;
    for (int i = 1; i <= row.n; ++i) ranks.push_back(i);
    const ConfidenceInterval drawn = median_interval(ranks, {});
    EXPECT_NEAR(drawn.low, row.low, 1.01) << row.n;
    EXPECT_NEAR(drawn.high, row.high, 1.01) << row.n;
  }
}

// The least count that an interval of the median takes, from the same distribution.
TEST(Bootstrap, LeastCountIsThatOfTheOrderStatistics) {
  const auto whole_range = [](std::size_t n) {
    return 1.0 - 2.0 * boost::math::pdf(boost::math::binomial(static_cast<double>(n), 0.5), 0);
  };
  EXPECT_GE(whole_range(least_bootstrap_values), 0.95);
  EXPECT_LT(whole_range(least_bootstrap_values - 1), 0.95);
}

}  // namespace
}  // namespace sim
