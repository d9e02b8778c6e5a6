// What is known of the unknowns, grown row by row.
#pragma once

#include <Eigen/Core>

namespace sim {

/// Keeps the information of rows taken so far and its inverse. A row's slopes are its residual's
/// derivatives by the unknowns, so that a row adds j j' to the information. Taking always the row
/// of the largest gain() is the greedy D-optimal design. Source: Fedorov 1972, from memory.
class InformationGrowth {
 public:
  /// `known` must be invertible: what is plausible before any row belongs to it.
  explicit InformationGrowth(const Eigen::MatrixXd& known);

  /// How much a row would add: log det of the information grows by log(1 + gain).
  double gain(const Eigen::VectorXd& slopes) const { return slopes.dot(spread_ * slopes); }
  void add(const Eigen::VectorXd& slopes);
  /// Standard deviation of each unknown.
  Eigen::VectorXd deviations() const { return spread_.diagonal().cwiseSqrt(); }

 private:
  Eigen::MatrixXd known_, spread_;
};

}  // namespace sim
