// The solver and its intervals beside closed forms and Eigen's own least squares.
#include <gtest/gtest.h>

#include <Eigen/LU>
#include <Eigen/QR>

#include "tests/unit/fit/fitted_street.h"

namespace sim {
namespace {

/// Rows that depend on EIRP, leaves and vehicle alone: a linear problem.
struct Linear {
  explicit Linear(int count) : street(test::isotropic_site(7.0)) {
    std::mt19937_64 random(3);
    std::normal_distribution unit(0.0, 1.0);
    for (int i = 0; i < count; ++i) {
      const double leaves = 3.0 * (i % 4);
      const bool inside = i % 5 < 2;
      Observation row{
          .measurement = static_cast<std::size_t>(i),
          .level_dbm = -77.0 - i - 1.2 * leaves - (inside ? 4.0 : 0.0) + unit(random),
          .sigma_db = 3.0 + (i % 3),
          .weight = 1.0 / (1.0 + i % 2),
          .rays = {{.fixed_dbm = -80.0 - i, .foliage_db = leaves, .in_vehicle = inside}}};
      rows.push_back(row);
    }
    unknowns = unknowns_of(street.scene.nodes, rows, street.settings, false);
  }
  LevelModel model() const { return {street.scene.nodes, street.settings, unknowns, rows}; }
  test::Street street;
  std::vector<Observation> rows;
  std::vector<Unknown> unknowns;
};

constexpr RobustShape plain{Robust::huber, 100.0};  // nothing is far off: least squares

TEST(FitClosedForm, ALinearProblemIsEigensLeastSquares) {
  const Linear linear(40);
  ASSERT_EQ(linear.unknowns.size(), 3U);
  const LevelModel model = linear.model();
  const Eigen::VectorXd site = site_values(linear.unknowns);
  const Solved solved = solve(model, site, {true, true, true}, plain);
  Eigen::MatrixXd a(40, 3);
  Eigen::VectorXd b(40);
  for (int i = 0; i < 40; ++i) {
    const Observation& row = linear.rows[static_cast<std::size_t>(i)];
    const double w = std::sqrt(row.weight) / row.sigma_db;
    a.row(i) << w, -w * row.rays[0].foliage_db, row.rays[0].in_vehicle ? -w : 0.0;
    b[i] = w * (row.level_dbm - row.rays[0].fixed_dbm);
  }
  const Eigen::VectorXd expected = a.colPivHouseholderQr().solve(b);
  for (Eigen::Index k = 0; k < 3; ++k) EXPECT_NEAR(solved.values[k], expected[k], 1e-4) << k;

  // Half width: t(0.95, n - p) s sqrt((A'A)^-1), n the sum of the weights: 40 rows, every other
  // one half: 30. t(0.95, 27) = 1.703 in any table of Student's t.
  const Eigen::VectorXd residuals = b - a * expected;
  const double s = std::sqrt(residuals.squaredNorm() / 27.0);
  const Eigen::MatrixXd covariance = (a.transpose() * a).inverse();
  const Eigen::VectorXd width = half_widths(model, solved.values, {true, true, true}, plain, 0.9);
  for (Eigen::Index k = 0; k < 3; ++k) {
    EXPECT_NEAR(width[k], 1.703 * s * std::sqrt(covariance(k, k)), 1e-3 * width[k]) << k;
  }
}

TEST(FitClosedForm, EirpAloneIsTheRobustMeanOfTheResiduals) {
  const Linear linear(25);
  const LevelModel model = linear.model();
  const RobustShape huber{Robust::huber, 1.0};
  const Solved solved = solve(model, site_values(linear.unknowns), {true, false, false}, huber);
  // Huber 1964: the estimate makes the sum of the clipped residuals nothing.
  const Eigen::VectorXd residuals = model.residuals(solved.values);
  double sum = 0.0;
  for (std::size_t i = 0; i < 25; ++i) {
    const Observation& row = linear.rows[i];
    sum += row.weight / row.sigma_db *
           std::clamp(residuals[static_cast<Eigen::Index>(i)], -1.345, 1.345);
  }
  EXPECT_NEAR(sum, 0.0, 1e-5);
}

TEST(FitClosedForm, TukeysShareIsPsiOverU) {
  for (const double u : {0.1, 1.0, 3.0, 4.6, 5.0}) {
    const Influence at = influence(u, Robust::tukey);
    EXPECT_NEAR(at.share, at.psi / u, 1e-12);
    const double h = 1e-6;  // the slope is psi's own
    EXPECT_NEAR(
        at.slope,
        (influence(u + h, Robust::tukey).psi - influence(u - h, Robust::tukey).psi) / (2.0 * h),
        1e-6);
  }
  EXPECT_EQ(influence(5.0, Robust::tukey).share, 0.0);
}

TEST(FitClosedForm, RowsAtOnePlaceCountAsTheirMean) {
  // Variance of the mean of k equally correlated values: sigma^2 (1 + (k - 1) rho) / k.
  const test::Street street(test::isotropic_site(7.0));
  std::vector<Observation> rows(4);
  for (Observation& row : rows) {
    row.sigma_db = 5.0;
    row.rays = {Ray{}};
  }
  rows.back().receiver.position = {1000.0, 0.0, 0.0};
  weigh_rows(rows, street.settings);
  const double rho = 16.0 / 25.0;  // shadowing of 4 dB in a spread of 5
  EXPECT_NEAR(rows[0].weight, 1.0 / (1.0 + 2.0 * rho), 1e-12);
  EXPECT_NEAR(rows[3].weight, 1.0, 1e-12);
}

TEST(FitClosedForm, DevianceOfABoundIsTheNormalDistributions) {
  // Phi(1.6449) = 0.95, Phi(-1.6449) = 0.05: any table of the normal distribution.
  EXPECT_NEAR(bound_deviance(1.6449), std::sqrt(-2.0 * std::log(0.95)), 1e-4);
  EXPECT_NEAR(bound_deviance(-1.6449), std::sqrt(-2.0 * std::log(0.05)), 1e-4);
  EXPECT_NEAR(bound_deviance(-29.999), bound_deviance(-30.001), 2e-3);  // both ways of computing
}

TEST(FitClosedForm, TheMiddleOfTheWeight) {
  EXPECT_EQ(weighted_median({{1.0, 1.0}, {9.0, 1.0}, {5.0, 3.0}}), 5.0);
  EXPECT_TRUE(std::isnan(weighted_median({})));
}

}  // namespace
}  // namespace sim
