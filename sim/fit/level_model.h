// Predicted against measured, as a function of the unknowns, without tracing anything again.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "sim/fit/unknowns.h"

namespace sim {

/// Which ray serves a row, and its level.
struct Served {
  std::size_t ray = 0;
  double level_dbm = 0.0;
};

/// Rows of a fit as residuals over their sigma:
///
///   level       (measured - predicted) / sigma
///   connected   +sqrt(-2 ln P),  P = Phi((predicted - drop) / sigma)
///   lost        -sqrt(-2 ln P),  P = Phi((drop - predicted) / sigma)
///
/// so that half the sum of squares is a negative log-likelihood. A row's predicted level is that of
/// its strongest ray at the values at hand: the phone changes its sector. Source: least squares as
/// maximum likelihood; deviance residual of a binary outcome (McCullagh and Nelder 1989, from
/// memory).
class LevelModel {
 public:
  /// All must outlive the model. `settings` are the site's.
  LevelModel(const std::vector<Node>& site_nodes, const LinkSettings& settings,
             const std::vector<Unknown>& unknowns, const std::vector<Observation>& rows);

  const std::vector<Unknown>& unknowns() const { return unknowns_; }
  const std::vector<Observation>& rows() const { return rows_; }
  const LinkSettings& settings() const { return settings_; }
  const std::vector<Node>& site_nodes() const { return site_nodes_; }

  Served served(const Eigen::VectorXd& values, std::size_t row) const;
  /// `jacobian`, where given, becomes rows x unknowns, by central differences; columns that `free`
  /// leaves out stay 0.
  Eigen::VectorXd residuals(const Eigen::VectorXd& values, Eigen::MatrixXd* jacobian = nullptr,
                            const std::vector<bool>* free = nullptr) const;

 private:
  struct Losses;
  std::vector<double> gains(const std::vector<Node>& nodes) const;
  void gains_of(const Sector& sector, NodeIndex node, std::uint32_t index,
                std::vector<double>& gains) const;
  Losses losses_at(const Eigen::VectorXd& values) const;
  Served strongest(std::size_t row, const Losses& losses, const std::vector<double>& gains) const;
  double residual(std::size_t row, const Losses& losses, const std::vector<double>& gains) const;

  const std::vector<Node>& site_nodes_;
  const LinkSettings& settings_;
  const std::vector<Unknown>& unknowns_;
  const std::vector<Observation>& rows_;
  std::vector<std::size_t> first_ray_;  ///< of each row, in one list of all rays
};

/// sqrt(-2 ln Phi(z)), finite for every z.
double bound_deviance(double z);

}  // namespace sim
