#include "sim/fit/robust_solve.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace sim {
namespace {

constexpr double huber_k = 1.345, tukey_c = 4.685;

/// All rows at once, when Ceres moves to other values: one pass over the rays serves every
/// residual block.
class Evaluation : public ceres::EvaluationCallback {
 public:
  Evaluation(const LevelModel& model, const Eigen::VectorXd& start, const std::vector<bool>& free,
             const RobustShape& shape)
      : model_(model), free_(free), values_(start) {
    for (std::size_t k = 0; k < free.size(); ++k) {
      if (free[k]) columns_.push_back(static_cast<Eigen::Index>(k));
    }
    at_.resize(columns_.size(), 0.0);
    for (const Observation& row : model.rows()) {
      scales_.push_back(row.evidence == Evidence::level ? shape.scale : 1.0);
    }
  }

  void PrepareForEvaluation(bool evaluate_jacobians, bool) override {
    const Eigen::VectorXd now = values();
    residuals_ = model_.residuals(now, evaluate_jacobians ? &jacobian_ : nullptr, &free_);
  }

  /// Unknowns in units of what counts as known, from the start.
  double* parameters() { return at_.data(); }
  int parameter_count() const { return static_cast<int>(at_.size()); }
  double unit(std::size_t k) const {
    return model_.unknowns()[static_cast<std::size_t>(columns_[k])].known_within;
  }
  double bound(std::size_t k, bool upper) const {
    const Unknown& u = model_.unknowns()[static_cast<std::size_t>(columns_[k])];
    return ((upper ? u.upper : u.lower) - values_[columns_[k]]) / unit(k);
  }
  Eigen::VectorXd values() const {
    Eigen::VectorXd now = values_;
    for (std::size_t k = 0; k < at_.size(); ++k) now[columns_[k]] += unit(k) * at_[k];
    return now;
  }
  double residual(Eigen::Index row) const {
    return residuals_[row] / scales_[static_cast<std::size_t>(row)];
  }
  double slope(Eigen::Index row, std::size_t k) const {
    return jacobian_(row, columns_[k]) * unit(k) / scales_[static_cast<std::size_t>(row)];
  }

 private:
  const LevelModel& model_;
  const std::vector<bool>& free_;
  Eigen::VectorXd values_;
  std::vector<Eigen::Index> columns_;
  std::vector<double> at_, scales_;
  Eigen::VectorXd residuals_;
  Eigen::MatrixXd jacobian_;
};

class RowCost : public ceres::CostFunction {
 public:
  RowCost(const Evaluation& evaluation, Eigen::Index row) : evaluation_(evaluation), row_(row) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->push_back(evaluation.parameter_count());
  }
  bool Evaluate(double const* const*, double* residuals, double** jacobians) const override {
    residuals[0] = evaluation_.residual(row_);
    if (jacobians != nullptr && jacobians[0] != nullptr) {
      for (int k = 0; k < evaluation_.parameter_count(); ++k) {
        jacobians[0][k] = evaluation_.slope(row_, static_cast<std::size_t>(k));
      }
    }
    return true;
  }

 private:
  const Evaluation& evaluation_;
  Eigen::Index row_;
};

ceres::LossFunction* loss_of(const RobustShape& shape, double weight) {
  ceres::LossFunction* loss = nullptr;
  if (shape.kind == Robust::huber) {
    loss = new ceres::HuberLoss(huber_k);
  } else {
    loss = new ceres::TukeyLoss(tukey_c);
  }
  return new ceres::ScaledLoss(loss, weight, ceres::TAKE_OWNERSHIP);
}

}  // namespace

Solved solve(const LevelModel& model, const Eigen::VectorXd& start, const std::vector<bool>& free,
             const RobustShape& shape, const std::vector<bool>* use) {
  if (std::find(free.begin(), free.end(), true) == free.end()) {
    return {start, robust_cost(model, start, shape), true};
  }
  Evaluation evaluation(model, start, free, shape);
  ceres::Problem::Options owning;
  owning.evaluation_callback = &evaluation;
  ceres::Problem problem(owning);
  problem.AddParameterBlock(evaluation.parameters(), evaluation.parameter_count());
  for (int k = 0; k < evaluation.parameter_count(); ++k) {
    const auto i = static_cast<std::size_t>(k);
    problem.SetParameterLowerBound(evaluation.parameters(), k, evaluation.bound(i, false));
    problem.SetParameterUpperBound(evaluation.parameters(), k, evaluation.bound(i, true));
  }
  for (std::size_t i = 0; i < model.rows().size(); ++i) {
    if (use != nullptr && !(*use)[i]) continue;
    problem.AddResidualBlock(new RowCost(evaluation, static_cast<Eigen::Index>(i)),
                             loss_of(shape, model.rows()[i].weight), evaluation.parameters());
  }
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.num_threads = 1;  // the same sums in the same order
  options.logging_type = ceres::SILENT;
  options.max_num_iterations = 60;
  options.function_tolerance = 1e-13;
  options.parameter_tolerance = 1e-10;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  return {evaluation.values(), summary.final_cost, summary.termination_type == ceres::CONVERGENCE};
}

double robust_cost(const LevelModel& model, const Eigen::VectorXd& values,
                   const RobustShape& shape) {
  const Eigen::VectorXd residuals = model.residuals(values);
  const std::unique_ptr<ceres::LossFunction> loss(loss_of(shape, 1.0));
  double cost = 0.0;
  for (std::size_t i = 0; i < model.rows().size(); ++i) {
    const Observation& row = model.rows()[i];
    const double u = residuals[static_cast<Eigen::Index>(i)] /
                     (row.evidence == Evidence::level ? shape.scale : 1.0);
    double rho[3];
    loss->Evaluate(u * u, rho);
    cost += 0.5 * row.weight * rho[0];
  }
  return cost;
}

Influence influence(double u, Robust kind) {
  if (kind == Robust::huber) {
    if (std::abs(u) <= huber_k) return {u, 1.0, 1.0};
    return {std::copysign(huber_k, u), 0.0, huber_k / std::abs(u)};
  }
  const double q = u * u / (tukey_c * tukey_c);
  if (q >= 1.0) return {0.0, 0.0, 0.0};
  return {u * (1.0 - q) * (1.0 - q), (1.0 - q) * (1.0 - 5.0 * q), (1.0 - q) * (1.0 - q)};
}

double effective_levels(const LevelModel& model) {
  double sum = 0.0;
  for (const Observation& row : model.rows()) {
    if (row.evidence == Evidence::level) sum += row.weight;
  }
  return sum;
}

double weighted_median(std::vector<std::pair<double, double>> list) {
  std::sort(list.begin(), list.end());
  double all = 0.0, below = 0.0;
  for (const auto& [value, weight] : list) all += weight;
  for (const auto& [value, weight] : list) {
    below += weight;
    if (below >= 0.5 * all) return value;
  }
  return std::nan("");
}

double robust_scale(const LevelModel& model, const Eigen::VectorXd& residuals, std::size_t fitted) {
  constexpr double median_per_sigma = 0.6745;  // of the absolute value of a normal variable
  constexpr double least_to_spare = 5.0;       // common practice, no source
  constexpr double least_scale = 0.1;          // a report of whole decibels is no exact one
  std::vector<std::pair<double, double>> sizes;
  for (std::size_t i = 0; i < model.rows().size(); ++i) {
    const Observation& row = model.rows()[i];
    if (row.evidence != Evidence::level) continue;
    sizes.emplace_back(std::abs(residuals[static_cast<Eigen::Index>(i)]), row.weight);
  }
  if (sizes.empty()) return 1.0;
  const double n = effective_levels(model);
  const double spare = n - static_cast<double>(fitted);
  const double seen = weighted_median(std::move(sizes)) / median_per_sigma;
  if (spare < least_to_spare) return std::max(1.0, seen);
  return std::max(least_scale, seen * std::sqrt(n / spare));
}

}  // namespace sim
