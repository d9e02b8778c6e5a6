#include "sim/fit/start.h"

namespace sim {
namespace {

constexpr double look_step_deg = 10.0;  // well within the element's 65 degrees
constexpr double clear_gain = 4.0;      // natural log of a likelihood ratio; common practice

/// Sets the free EIRPs of a node to the weighted median of its rows' residuals.
void level_out(const LevelModel& model, const std::vector<bool>& free, NodeIndex node,
               Eigen::VectorXd& values) {
  for (int round = 0; round < 2; ++round) {
    const Eigen::VectorXd residuals = model.residuals(values);
    std::vector<std::pair<double, double>> off;
    for (std::size_t i = 0; i < model.rows().size(); ++i) {
      const Observation& row = model.rows()[i];
      if (row.evidence != Evidence::level || row.rays[row.strongest].node != node) continue;
      off.emplace_back(residuals[static_cast<Eigen::Index>(i)] * row.sigma_db, row.weight);
    }
    if (off.empty()) return;
    const double median = weighted_median(std::move(off));
    for (std::size_t k = 0; k < free.size(); ++k) {
      const Unknown& u = model.unknowns()[k];
      if (!free[k] || u.quantity != FitQuantity::eirp || u.node != node) continue;
      double& value = values[static_cast<Eigen::Index>(k)];
      value = std::clamp(value + median, u.lower, u.upper);
    }
  }
}

Eigen::VectorXd look_round(const LevelModel& model, const Eigen::VectorXd& from,
                           const std::vector<bool>& free, const RobustShape& shape) {
  Eigen::VectorXd best = from;
  double least = robust_cost(model, best, shape);
  for (int round = 0; round < 2; ++round) {
    for (std::size_t k = 0; k < free.size(); ++k) {
      const Unknown& u = model.unknowns()[k];
      if (!free[k] || u.quantity != FitQuantity::azimuth) continue;
      const Eigen::VectorXd turned_from = best;
      for (double turn = look_step_deg; turn < 360.0; turn += look_step_deg) {
        Eigen::VectorXd at = turned_from;
        double& azimuth = at[static_cast<Eigen::Index>(k)];
        azimuth = u.site + std::remainder(azimuth + turn - u.site, 360.0);
        level_out(model, free, u.node, at);
        const double cost = robust_cost(model, at, shape);
        if (cost < least) {
          least = cost;
          best = at;
        }
      }
    }
  }
  return best;
}

}  // namespace

Solved solve_from_anywhere(const LevelModel& model, const Eigen::VectorXd& site,
                           const std::vector<bool>& free, const RobustShape& shape) {
  Solved near = solve(model, site, free, shape);
  const Eigen::VectorXd start = look_round(model, near.values, free, shape);
  if (start == near.values) return near;
  Solved far = solve(model, start, free, shape);
  return far.cost + clear_gain < near.cost ? far : near;
}

}  // namespace sim
