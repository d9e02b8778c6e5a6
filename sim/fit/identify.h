// Which unknowns the rows can tell, and how well.
#pragma once

#include <string>

#include "sim/fit/robust_solve.h"

namespace sim {

/// What the rows say about the unknowns: J' W J, residuals over their sigma. Rows that `use` or the
/// robust share leave out count less.
Eigen::MatrixXd information(const LevelModel& model, const Eigen::VectorXd& values,
                            const RobustShape& shape);

/// Why an unknown keeps its value in the site.
struct Held {
  std::size_t unknown = 0;
  /// The unknowns that it cannot be told apart from, itself included; alone when no row moves
  /// enough with it.
  std::vector<std::size_t> group;
};

/// Takes unknowns out of `free` until every one left has a standard deviation within its
/// known_within; a singular direction has an infinite one. Of a group that cannot be told apart
/// (the eigenvector of the least information, each unknown in units of known_within), the one that
/// matters least for a level in the street is held. `scale` is that of the residuals.
std::vector<Held> hold_unknown(const std::vector<Unknown>& unknowns,
                               const Eigen::MatrixXd& information, double scale,
                               std::vector<bool>& free);

/// Standard deviations of the free unknowns from the information; infinite where singular, 0 for
/// those held.
Eigen::VectorXd deviations(const std::vector<Unknown>& unknowns, const Eigen::MatrixXd& information,
                           double scale, const std::vector<bool>& free);

/// Half the width of the interval of each free unknown: the covariance of an M-estimate,
///
///   K^2 s^2 [sum w psi^2 / (n - p)] / [sum w psi' / n]^2 (J' W J)^-1
///
/// with Student's t of n - p rows' worth; n the sum of the weights. With fewer than 5 to spare the
/// spread stated with the rows stands for the one seen. Source: Huber 1981 section 7.6, from
/// memory.
Eigen::VectorXd half_widths(const LevelModel& model, const Eigen::VectorXd& values,
                            const std::vector<bool>& free, const RobustShape& shape,
                            double confidence);

}  // namespace sim
