// Intervals and numbers of repeats against closed forms and published examples.
#include "sim/survey/bootstrap.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace sim {
namespace {

std::vector<double> normal_values(std::size_t count, std::uint64_t seed, double mean = 0.0) {
  std::mt19937_64 engine(seed);
  std::normal_distribution<double> normal(mean, 1.0);
  std::vector<double> values(count);
  for (double& v : values) v = normal(engine);
  return values;
}

// The median of n normal values has a standard error near sqrt(pi / 2) sigma / sqrt(n) (Kendall and
// Stuart, from memory): the interval is 2 * 1.96 times that wide on average, and holds the true
// median in 95 % of samples.
TEST(Bootstrap, MedianIntervalOfNormalSamplesIsThatOfTheClosedForm) {
  constexpr std::size_t n = 101;
  constexpr int samples = 300;
  double width = 0.0;
  int held = 0;
  for (int s = 0; s < samples; ++s) {
    const ConfidenceInterval interval =
        median_interval(normal_values(n, 1000 + static_cast<unsigned>(s)),
                        {.draws = 600, .seed = 7, .share = 0.95});
    width += (interval.high - interval.low) / samples;
    held += interval.low <= 0.0 && 0.0 <= interval.high ? 1 : 0;
  }
  const double expected = 2.0 * 1.959964 * std::sqrt(M_PI / 2.0 / static_cast<double>(n));
  EXPECT_NEAR(width / expected, 1.0, 0.07);
  // 300 trials of 0.95: a standard deviation of 1.3 %.
  EXPECT_NEAR(static_cast<double>(held) / samples, 0.95, 0.035);
}

// Two medians are independent, so their variances add.
TEST(Bootstrap, DifferenceOfMediansIsWiderByTheRootOfTwo) {
  constexpr std::size_t n = 101;
  double width = 0.0;
  constexpr int samples = 60;
  for (unsigned s = 0; s < samples; ++s) {
    const ConfidenceInterval d =
        two_median_intervals(normal_values(n, 2000 + s, 30.0), normal_values(n, 5000 + s, 20.0),
                             {.draws = 600, .seed = 7, .share = 0.95})
            .difference;
    width += (d.high - d.low) / samples;
    EXPECT_GT(d.low, 9.0);
    EXPECT_LT(d.high, 11.0);
  }
  const double expected = 2.0 * 1.959964 * std::sqrt(M_PI / static_cast<double>(n));
  EXPECT_NEAR(width / expected, 1.0, 0.07);
}

TEST(Bootstrap, RatioIsTheOtherOverTheReference) {
  const std::vector<double> whole(8, 400.0), half(8, 100.0);
  const ConfidenceInterval ratio = two_median_intervals(whole, half, {}).ratio;
  EXPECT_DOUBLE_EQ(ratio.low, 0.25);
  EXPECT_DOUBLE_EQ(ratio.high, 0.25);
}

TEST(Bootstrap, SameSeedSameInterval) {
  const auto values = normal_values(20, 3);
  const ConfidenceInterval one = median_interval(values, {}), two = median_interval(values, {});
  EXPECT_EQ(one.low, two.low);
  EXPECT_EQ(one.high, two.high);
}

// From the least to the largest of five values the median lies with 1 - 2 / 2^5 = 93.75 %.
TEST(Bootstrap, FewerThanSixValuesTellNoInterval) {
  EXPECT_TRUE(std::isnan(median_interval({1, 2, 3, 4, 5}, {}).low));
  EXPECT_FALSE(std::isnan(median_interval({1, 2, 3, 4, 5, 6}, {}).low));
}

// Student's sleep data (Biometrika 6, 1908) by Welch's test, as statistics packages print it:
// -3.3654832 to 0.2054832 (from memory).
TEST(Welch, SleepDataGiveThePublishedInterval) {
  const ConfidenceInterval interval =
      welch_interval({0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0},
                     {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}, 0.95);
  EXPECT_NEAR(interval.low, -3.3654832, 1e-6);
  EXPECT_NEAR(interval.high, 0.2054832, 1e-6);
  EXPECT_TRUE(std::isnan(welch_interval({1.0}, {1.0, 2.0}, 0.95).low));
}

// J. Cohen, Statistical Power Analysis, 1988, table 2.4.1, two-sided 5 %, power 80 %: 393, 64 and
// 26 a side for differences of 0.2, 0.5 and 0.8 standard deviations (from memory). The normal
// formula gives up to one less.
TEST(RepeatsNeeded, AreThoseOfCohensTable) {
  for (const auto& [difference, published] :
       {std::pair{0.2, 393.0}, std::pair{0.5, 64.0}, std::pair{0.8, 26.0}}) {
    const auto n = static_cast<double>(repeats_needed(1.0, difference, 0.95, 0.8));
    EXPECT_LE(n, published) << difference;
    EXPECT_GE(n, published - 1.0) << difference;
  }
}

// By hand: squares 2 and 8 over 2 + 1 degrees of freedom.
TEST(PooledSpread, IsThatComputedByHand) {
  EXPECT_DOUBLE_EQ(pooled_spread({1, 2, 3}, {4, 8}), std::sqrt((2.0 + 8.0) / 3.0));
  EXPECT_DOUBLE_EQ(pooled_spread({5}, {1, 3}), std::sqrt(2.0));
  EXPECT_TRUE(std::isnan(pooled_spread({5}, {1})));
}

}  // namespace
}  // namespace sim
