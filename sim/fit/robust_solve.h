// Robust least squares over the unknowns that are free.
#pragma once

#include "sim/fit/level_model.h"

namespace sim {

/// How a large residual counts. `huber` grows straight beyond 1.345 of the scale and has one
/// minimum; `tukey` lets a row go altogether beyond 4.685 of it. Both keep 95 % of the efficiency
/// of least squares when the errors are normal. Source: Huber 1964; Beaton and Tukey 1974; from
/// memory.
enum class Robust { huber, tukey };

struct RobustShape {
  Robust kind = Robust::huber;
  double scale = 1.0;  ///< of level residuals; bounds keep 1
};

struct Solved {
  Eigen::VectorXd values;
  double cost = 0.0;  ///< half the weighted sum of the robust squares, residuals over the scale
  bool converged = false;
};

/// Starts at `start`; unknowns that are not free keep their value in it. The same bytes whatever
/// the threads. Rows with `use` false are left out.
Solved solve(const LevelModel& model, const Eigen::VectorXd& start, const std::vector<bool>& free,
             const RobustShape& shape, const std::vector<bool>* use = nullptr);

/// The cost of `solve` at given values.
double robust_cost(const LevelModel& model, const Eigen::VectorXd& values,
                   const RobustShape& shape);

/// Influence psi(u), its derivative, and the share psi(u) / u with which a row counts.
struct Influence {
  double psi = 0.0, slope = 0.0, share = 1.0;
};
Influence influence(double u, Robust kind);

/// Scale of the level residuals by their median: median |r| / 0.6745, weighted, each row's worth
/// counted, and corrected for `fitted` unknowns. No less than 1 with fewer than 5 rows' worth to
/// spare, for then the spread stated is known better than the spread seen.
double robust_scale(const LevelModel& model, const Eigen::VectorXd& residuals, std::size_t fitted);

/// Rows' worth of level rows: the sum of their weights.
double effective_levels(const LevelModel& model);

/// Value at which half of the weight lies below and half above; NaN for no weight.
double weighted_median(std::vector<std::pair<double, double>> value_and_weight);

}  // namespace sim
