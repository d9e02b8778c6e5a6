// Differences of like with like: published examples, hand computation and simulated truth.
#include "sim/compare/like_with_like.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace sim {
namespace {

Likeness bin(int b) { return {b, InSight::in, "outdoor"}; }

// Student's sleep data (Biometrika 6, 1908) by Welch's test, as statistics packages print it:
// -3.3654832 to 0.2054832 (from memory). One kind of place is the plain test: five a side in each
// of two halves keeps it from the bootstrap and pools, so the whole stands in one stratum of five.
TEST(LikeWithLike, OneStratumByStudentIsWelch) {
  const std::vector<double> a{0.7, -1.6, -0.2, -1.2, -0.1}, b{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5};
  Difference d = like_with_like({{bin(0), a}}, {{bin(0), b}}, {});
  EXPECT_FALSE(d.told()) << "five are too few";
  // Eleven against six in two strata: no stratum has six on both sides.
  const ByLikeness left{{bin(0), {0.7, -1.6, -0.2, -1.2, -0.1}}, {bin(1), {3.4}}};
  const ByLikeness right{{bin(0), {1.9, 0.8, 1.1, 0.1, -0.1, 4.4}}, {bin(1), {5.5, 1.6}}};
  d = like_with_like(left, right, {});
  EXPECT_EQ(d.method, "student");
  EXPECT_EQ(d.strata, 2U);
  // By hand: weights 5*6/11 and 1*2/3; means -0.48, 1.366667, 3.4, 3.55.
  const double w0 = 30.0 / 11.0, w1 = 2.0 / 3.0;
  EXPECT_NEAR(d.effect, (w0 * (-0.48 - 1.3666667) + w1 * (3.4 - 3.55)) / (w0 + w1), 1e-6);
  EXPECT_LT(d.interval.low, d.effect);
  EXPECT_GT(d.interval.high, d.effect);
}

TEST(LikeWithLike, AStratumOfManyIsDrawnAndEqualsThePairsCode) {
  std::vector<double> a, b;
  for (int i = 0; i < 12; ++i) {
    a.push_back(100.0 + 7.0 * i);
    b.push_back(60.0 + 5.0 * i);
  }
  const Difference d = like_with_like({{bin(0), a}}, {{bin(0), b}}, {});
  const ConfidenceInterval pairs = two_median_intervals(a, b, {}).difference;
  EXPECT_EQ(d.method, "bootstrap");
  EXPECT_DOUBLE_EQ(d.interval.low, pairs.low);
  EXPECT_DOUBLE_EQ(d.interval.high, pairs.high);
}

// Simpson's paradox: the near group seems faster by 150, yet at every distance it is slower by 10.
TEST(LikeWithLike, UnequalDistancesDoNotMakeADifference) {
  std::mt19937_64 engine(3);
  std::normal_distribution<double> noise(0.0, 5.0);
  ByLikeness near, far;
  for (int b = 0; b < 4; ++b) {
    const int many = 4 * (4 - b), few = 4 * (b + 1);
    for (int i = 0; i < many; ++i) near[bin(b)].push_back(500.0 - 100.0 * b - 10.0 + noise(engine));
    for (int i = 0; i < few; ++i) far[bin(b)].push_back(500.0 - 100.0 * b + noise(engine));
  }
  const Difference d = like_with_like(near, far, {});
  EXPECT_GT(d.crude, 80.0);
  ASSERT_TRUE(d.shown());
  EXPECT_LT(d.interval.high, 0.0);
  EXPECT_NEAR(d.effect, -10.0, 4.0);
}

TEST(LikeWithLike, WhatHasNoLikeIsCountedAndLeftOut) {
  const ByLikeness a{{bin(0), std::vector<double>(8, 1.0)}},
      b{{bin(1), std::vector<double>(9, 2.0)}};
  const Difference d = like_with_like(a, b, {});
  EXPECT_FALSE(d.told());
  EXPECT_EQ(d.a_alone, 8U);
  EXPECT_EQ(d.b_alone, 9U);
  EXPECT_TRUE(std::isnan(d.effect));
}

/// How often the interval holds a true difference of 30 in `trials` of `per_bin` a side in each of
/// five bins, and how often no true difference is said to be one.
struct Coverage {
  double held = 0.0, false_alarms = 0.0;
};
Coverage coverage(int per_bin, int trials, std::uint64_t seed) {
  std::mt19937_64 engine(seed);
  std::lognormal_distribution<double> skewed(0.0, 0.4);  // rates are skewed
  Coverage c;
  for (int t = 0; t < trials; ++t) {
    ByLikeness a, b, c0;
    for (int k = 0; k < 5; ++k) {
      const double level = 600.0 - 90.0 * k;
      for (int i = 0; i < per_bin; ++i) {
        a[bin(k)].push_back(level + 30.0 + 60.0 * skewed(engine));
        b[bin(k)].push_back(level + 60.0 * skewed(engine));
        c0[bin(k)].push_back(level + 60.0 * skewed(engine));
      }
    }
    const BootstrapSettings settings{.draws = 300, .seed = 9, .share = 0.95};
    const Difference d = like_with_like(a, b, settings), none = like_with_like(b, c0, settings);
    c.held += d.interval.low <= 30.0 && 30.0 <= d.interval.high ? 1.0 / trials : 0.0;
    c.false_alarms += none.shown() ? 1.0 / trials : 0.0;
  }
  return c;
}

// 200 trials of 0.95: a standard deviation of 1.5 %.
TEST(LikeWithLike, IntervalsHoldTheTruthAsOftenAsTheySay) {
  for (const int per_bin : {3, 8}) {
    const Coverage c = coverage(per_bin, 200, 11);
    RecordProperty("coverage_" + std::to_string(per_bin), std::to_string(c.held));
    EXPECT_GE(c.held, 0.90) << per_bin;
    EXPECT_LE(c.false_alarms, 0.10) << per_bin;
    EXPECT_GE(c.false_alarms, 0.005) << per_bin << ": an interval that never errs is too wide";
  }
}

TEST(SharesLikeWithLike, OneStratumIsNewcombes) {
  std::vector<double> a(70, 0.0), b(80, 0.0);
  for (int i = 0; i < 56; ++i) a[static_cast<std::size_t>(i)] = 1.0;
  for (int i = 0; i < 48; ++i) b[static_cast<std::size_t>(i)] = 1.0;
  const Difference d = shares_like_with_like({{bin(0), a}}, {{bin(0), b}}, {});
  EXPECT_NEAR(d.effect, 0.2, 1e-12);
  EXPECT_NEAR(d.interval.low, 0.0524, 6e-5);  // as in statistics_test
  EXPECT_NEAR(d.interval.high, 0.3339, 6e-5);
  EXPECT_TRUE(d.shown());
}

}  // namespace
}  // namespace sim
