#include "sim/fit/identify.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "sim/loss/normal_quantile.h"

namespace sim {
namespace {

/// The information of the free unknowns in units of known_within.
struct Scaled {
  std::vector<std::size_t> which;
  Eigen::MatrixXd matrix;
};
Scaled scaled(const std::vector<Unknown>& unknowns, const Eigen::MatrixXd& information,
              double scale, const std::vector<bool>& free) {
  Scaled s;
  for (std::size_t k = 0; k < free.size(); ++k) {
    if (free[k]) s.which.push_back(k);
  }
  const auto count = static_cast<Eigen::Index>(s.which.size());
  s.matrix.resize(count, count);
  for (Eigen::Index i = 0; i < count; ++i) {
    for (Eigen::Index j = 0; j < count; ++j) {
      const std::size_t a = s.which[static_cast<std::size_t>(i)];
      const std::size_t b = s.which[static_cast<std::size_t>(j)];
      s.matrix(i, j) = information(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) *
                       unknowns[a].known_within * unknowns[b].known_within / (scale * scale);
    }
  }
  return s;
}

constexpr double nothing = 1e-12;  // information below this is rounding

/// Diagonal of the inverse, by eigenvalues so that a singular direction shows as a huge number.
Eigen::VectorXd variances(const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>& parts) {
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(parts.eigenvalues().size());
  for (Eigen::Index v = 0; v < parts.eigenvalues().size(); ++v) {
    sum += parts.eigenvectors().col(v).cwiseAbs2() / std::max(parts.eigenvalues()[v], nothing);
  }
  return sum;
}

/// Least needed first: a level in the street hangs on the EIRP before all.
int rank(FitQuantity quantity) {
  switch (quantity) {
    case FitQuantity::downtilt:
      return 0;
    case FitQuantity::body_loss:
      return 1;
    case FitQuantity::vehicle_offset:
      return 2;
    case FitQuantity::foliage_scale:
      return 3;
    case FitQuantity::azimuth:
      return 4;
    case FitQuantity::eirp:
      return 5;
    case FitQuantity::drop_level:
      return 6;
  }
  return 7;
}

}  // namespace

Eigen::MatrixXd information(const LevelModel& model, const Eigen::VectorXd& values,
                            const RobustShape& shape) {
  Eigen::MatrixXd jacobian;
  const Eigen::VectorXd residuals = model.residuals(values, &jacobian);
  Eigen::VectorXd weights(residuals.size());
  for (Eigen::Index i = 0; i < residuals.size(); ++i) {
    const Observation& row = model.rows()[static_cast<std::size_t>(i)];
    const bool level = row.evidence == Evidence::level;
    const double u = residuals[i] / (level ? shape.scale : 1.0);
    weights[i] = row.weight * influence(u, shape.kind).share;
  }
  return jacobian.transpose() * weights.asDiagonal() * jacobian;
}

Eigen::VectorXd deviations(const std::vector<Unknown>& unknowns, const Eigen::MatrixXd& information,
                           double scale, const std::vector<bool>& free) {
  Eigen::VectorXd result = Eigen::VectorXd::Zero(information.rows());
  const Scaled s = scaled(unknowns, information, scale, free);
  if (s.which.empty()) return result;
  const Eigen::VectorXd variance =
      variances(Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(s.matrix));
  for (std::size_t i = 0; i < s.which.size(); ++i) {
    result[static_cast<Eigen::Index>(s.which[i])] =
        unknowns[s.which[i]].known_within * std::sqrt(variance[static_cast<Eigen::Index>(i)]);
  }
  return result;
}

std::vector<Held> hold_unknown(const std::vector<Unknown>& unknowns,
                               const Eigen::MatrixXd& information, double scale,
                               std::vector<bool>& free) {
  constexpr double belongs = 0.3;  // part of a unit eigenvector; common practice, no source
  std::vector<Held> held;
  while (true) {
    const Scaled s = scaled(unknowns, information, scale, free);
    if (s.which.empty()) return held;
    // What the rows would not tell even if all else were known.
    bool any = false;
    for (std::size_t i = 0; i < s.which.size(); ++i) {
      const auto k = static_cast<Eigen::Index>(i);
      if (s.matrix(k, k) >= 1.0) continue;
      held.push_back({s.which[i], {s.which[i]}});
      free[s.which[i]] = false;
      any = true;
    }
    if (any) continue;
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(s.matrix);
    if (variances(parts).maxCoeff() <= 1.0) return held;
    Held next;
    const Eigen::VectorXd direction = parts.eigenvectors().col(0).cwiseAbs();
    int least = 100;
    for (std::size_t i = 0; i < s.which.size(); ++i) {
      if (direction[static_cast<Eigen::Index>(i)] < belongs) continue;
      next.group.push_back(s.which[i]);
      if (rank(unknowns[s.which[i]].quantity) < least) {
        least = rank(unknowns[s.which[i]].quantity);
        next.unknown = s.which[i];
      }
    }
    free[next.unknown] = false;
    held.push_back(next);
  }
}

Eigen::VectorXd half_widths(const LevelModel& model, const Eigen::VectorXd& values,
                            const std::vector<bool>& free, const RobustShape& shape,
                            double confidence) {
  Eigen::MatrixXd jacobian;
  const Eigen::VectorXd residuals = model.residuals(values, &jacobian);
  Eigen::VectorXd weights(residuals.size());
  double n = 0.0, psi_squares = 0.0, slopes = 0.0, slope_squares = 0.0;
  for (Eigen::Index i = 0; i < residuals.size(); ++i) {
    const Observation& row = model.rows()[static_cast<std::size_t>(i)];
    weights[i] = row.weight;
    if (row.evidence != Evidence::level) {
      weights[i] *= influence(residuals[i], shape.kind).share;
      continue;
    }
    const Influence at = influence(residuals[i] / shape.scale, shape.kind);
    n += row.weight;
    psi_squares += row.weight * at.psi * at.psi;
    slopes += row.weight * at.slope;
    slope_squares += row.weight * at.slope * at.slope;
  }
  const auto p = static_cast<double>(std::count(free.begin(), free.end(), true));
  constexpr double least_to_spare = 5.0;  // common practice, no source
  const double upper = 0.5 + 0.5 * confidence;
  double factor = 1.0, quantile = normal_quantile(upper);
  if (n - p >= least_to_spare && slopes > 0.0) {
    const double mean_slope = slopes / n;
    const double slope_variance = std::max(0.0, slope_squares / n - mean_slope * mean_slope);
    const double k = 1.0 + p / n * slope_variance / (mean_slope * mean_slope);
    factor = k * shape.scale * std::sqrt(psi_squares / (n - p)) / mean_slope;
    quantile = boost::math::quantile(boost::math::students_t(n - p), upper);
  }
  const Eigen::MatrixXd told = jacobian.transpose() * weights.asDiagonal() * jacobian;
  return quantile * deviations(model.unknowns(), told, factor, free);
}

}  // namespace sim
