// The closed form of holding, and the draws that must agree with it.
#include "sim/link/hold.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace sim {
namespace {

TEST(Hold, ProbabilityIsTheNormalDistributions) {
  // Standard normal table: 0.9 at 1.2816, 0.975 at 1.96.
  EXPECT_NEAR(hold_probability(Db(1.2816 * 4.0), Db(4.0)), 0.9, 1e-5);
  EXPECT_NEAR(hold_probability(Db(-1.95996 * 7.82), Db(7.82)), 0.025, 1e-5);
  EXPECT_DOUBLE_EQ(hold_probability(Db(0.0), Db(4.0)), 0.5);
  EXPECT_EQ(hold_probability(Db(0.1), Db(0.0)), 1.0);
  EXPECT_EQ(hold_probability(Db(-0.1), Db(0.0)), 0.0);
}

TEST(Hold, IndependentSpreadsAddAsSquares) {
  EXPECT_DOUBLE_EQ(total_sigma(Db(4.0), Db(3.0)).value, 5.0);  // 3-4-5
  LinkResult link;
  link.terms = {{.spread = Db(3.0)}, {.spread = Db(4.0)}, {}};
  link.foliage_spread_db = 12.0;
  EXPECT_DOUBLE_EQ(link.spread().value, 13.0);  // 3-4-5, 5-12-13
}

std::vector<ShadowPlace> walk_of(std::size_t places, double step_m, Db sigma, Db spread) {
  return std::vector<ShadowPlace>(
      places,
      {.step_m = step_m, .shadowing = {.sigma = sigma, .correlation_m = 10.0}, .spread = spread});
}

TEST(Hold, DrawsAgreeWithTheClosedForm) {
  // Share of draws above the threshold, against the normal distribution, at every place of the
  // walk. Four standard errors of a share of n draws: 4 sqrt(p (1-p) / n).
  constexpr int draws = 20000;
  const Db sigma(4.0), spread(3.0), margin(2.5);
  const auto walk = walk_of(9, 3.0, sigma, spread);
  ShadowDraws shadow(7, 3);
  std::vector<int> above(walk.size(), 0);
  for (int draw = 0; draw < draws; ++draw) {
    const auto strays = shadow.next(walk);
    for (std::size_t i = 0; i < walk.size(); ++i) above[i] += margin + strays[i] >= Db() ? 1 : 0;
  }
  const double p = hold_probability(margin, total_sigma(sigma, spread));
  for (const int count : above) {
    EXPECT_NEAR(static_cast<double>(count) / draws, p, 4.0 * std::sqrt(p * (1.0 - p) / draws));
  }
}

TEST(Hold, ShadowingForgetsItselfExponentially) {
  // TR 38.901 7.4.4: rho = exp(-d / d_corr); both above the median with probability
  // 1/4 + asin(rho) / (2 pi), Sheppard's formula for two normal values (from memory).
  constexpr int draws = 20000;
  const auto walk = walk_of(11, 2.0, Db(4.0), Db());
  ShadowDraws shadow(1, 0);
  std::vector<double> product(walk.size(), 0.0);
  std::vector<int> both(walk.size(), 0);
  for (int draw = 0; draw < draws; ++draw) {
    const auto strays = shadow.next(walk);
    for (std::size_t i = 0; i < walk.size(); ++i) {
      product[i] += strays[0].value * strays[i].value / 16.0;
      both[i] += strays[0].value > 0.0 && strays[i].value > 0.0 ? 1 : 0;
    }
  }
  for (std::size_t i = 0; i < walk.size(); ++i) {
    const double rho = std::exp(-2.0 * static_cast<double>(i) / 10.0);
    EXPECT_NEAR(product[i] / draws, rho, 4.0 * std::sqrt((1.0 + rho * rho) / draws)) << i;
    const double share = 0.25 + std::asin(rho) / (2.0 * std::numbers::pi);
    EXPECT_NEAR(static_cast<double>(both[i]) / draws, share,
                4.0 * std::sqrt(share * (1.0 - share) / draws))
        << i;
  }
}

TEST(Hold, OneSeedOneSetOfDraws) {
  const auto walk = walk_of(50, 1.0, Db(4.0), Db(2.0));
  ShadowDraws a(5, 1), b(5, 1), other_stream(5, 2), other_seed(6, 1);
  const auto first = a.next(walk);
  EXPECT_EQ(first, b.next(walk));
  EXPECT_NE(first, other_stream.next(walk));
  EXPECT_NE(first, other_seed.next(walk));
  EXPECT_NE(first, a.next(walk));
}

TEST(Hold, AWalkKeepsWhatItWouldNotRegain) {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  const Dbm keep(-98.0), regain(-96.0);
  const std::vector<Dbm> falling{Dbm(-90), Dbm(-97), Dbm(-97.9), Dbm(-98.1), Dbm(-97)};
  EXPECT_EQ(walk_states(falling, keep, regain),
            (std::vector<bool>{true, true, true, false, false}));
  const std::vector<Dbm> back(falling.rbegin(), falling.rend());
  EXPECT_EQ(walk_states(back, keep, regain), (std::vector<bool>{false, false, false, false, true}));
  const std::vector<Dbm> gap{Dbm(-90), Dbm(nan), Dbm(-97)};
  EXPECT_EQ(walk_states(gap, keep, regain), (std::vector<bool>{true, false, true}));
}

}  // namespace
}  // namespace sim
