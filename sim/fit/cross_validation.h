// How well a fit foretells rows it has not seen.
#pragma once

#include "sim/fit/robust_solve.h"

namespace sim {

/// Rows within a shadowing's length of each other are one place, and are left out together: the
/// first place within reach of a row takes it.
std::vector<std::size_t> places_of(const std::vector<Observation>& rows, double reach_m);

struct FitError {
  double rms_db = 0.0;
  double mean_abs_db = 0.0;
};
/// Of the level rows, measured minus predicted, each by its weight; NaN rows do not count.
FitError error_of(const LevelModel& model, const Eigen::VectorXd& residuals);

struct CrossValidation {
  std::size_t places = 0, folds = 0;
  Eigen::VectorXd residuals;  ///< of each row, by a fit without its place
  FitError before, after;
  bool improves = false;  ///< after is less, by more than its own standard error over the places
};

/// Leaves out one place after the other, or a twentieth of the places where there are more than 20,
/// and fits the rest from `fitted`. `before` are the residuals without a fit; rows that are NaN in
/// it are not compared.
CrossValidation cross_validate(const LevelModel& model, const Eigen::VectorXd& before,
                               const Eigen::VectorXd& fitted, const std::vector<bool>& free,
                               const RobustShape& shape, double place_reach_m);

}  // namespace sim
