#include "sim/fit/level_model.h"

#include <cmath>
#include <numbers>

#include "sim/link/antenna.h"

namespace sim {

/// The unknowns that are not angles, as the rows need them.
struct LevelModel::Losses {
  std::vector<std::vector<double>> eirp_db;  ///< by node and sector
  double foliage_scale, vehicle_db, body_db, drop_dbm;
};

double bound_deviance(double z) {
  if (z > -30.0) {
    return std::sqrt(std::max(0.0, -2.0 * std::log(0.5 * std::erfc(-z / std::numbers::sqrt2))));
  }
  // Phi(z) -> phi(z) / |z|: the first term of its asymptotic series.
  return std::sqrt(z * z + std::log(2.0 * std::numbers::pi * z * z));
}

LevelModel::LevelModel(const std::vector<Node>& site_nodes, const LinkSettings& settings,
                       const std::vector<Unknown>& unknowns, const std::vector<Observation>& rows)
    : site_nodes_(site_nodes), settings_(settings), unknowns_(unknowns), rows_(rows) {
  std::size_t first = 0;
  for (const Observation& row : rows_) {
    first_ray_.push_back(first);
    first += row.rays.size();
  }
  first_ray_.push_back(first);
}

void LevelModel::gains_of(const Sector& sector, NodeIndex node, std::uint32_t index,
                          std::vector<double>& gains) const {
  const SectorBeams& beams = settings_.beams[node][index];
  for (std::size_t i = 0; i < rows_.size(); ++i) {
    for (std::size_t r = 0; r < rows_[i].rays.size(); ++r) {
      const Ray& ray = rows_[i].rays[r];
      if (ray.node != node || ray.sector != index) continue;
      gains[first_ray_[i] + r] =
          gain_towards(sector, ray.azimuth, ray.elevation, beams).broadcast.value;
    }
  }
}

std::vector<double> LevelModel::gains(const std::vector<Node>& nodes) const {
  std::vector<double> gains(first_ray_.back());
  for (NodeIndex n = 0; n < nodes.size(); ++n) {
    for (std::uint32_t s = 0; s < nodes[n].sectors.size(); ++s) {
      gains_of(nodes[n].sectors[s], n, s, gains);
    }
  }
  return gains;
}

LevelModel::Losses LevelModel::losses_at(const Eigen::VectorXd& values) const {
  Losses losses{.eirp_db = {},
                .foliage_scale = settings_.defaults("foliage_scale"),
                .vehicle_db = settings_.defaults("vehicle_offset_db"),
                .body_db = settings_.defaults("body_loss_db"),
                .drop_dbm = settings_.drop_rsrp.value};
  for (const Node& node : site_nodes_) losses.eirp_db.emplace_back(node.sectors.size(), 0.0);
  for (std::size_t k = 0; k < unknowns_.size(); ++k) {
    const Unknown& u = unknowns_[k];
    const double value = values[static_cast<Eigen::Index>(k)];
    switch (u.quantity) {
      case FitQuantity::azimuth:
      case FitQuantity::downtilt:
        break;
      case FitQuantity::eirp:
        for (std::uint32_t s = 0; s < losses.eirp_db[u.node].size(); ++s) {
          if (u.whole_node || s == u.sector) losses.eirp_db[u.node][s] = value;
        }
        break;
      case FitQuantity::foliage_scale:
        losses.foliage_scale = value;
        break;
      case FitQuantity::vehicle_offset:
        losses.vehicle_db = value;
        break;
      case FitQuantity::body_loss:
        losses.body_db = value;
        break;
      case FitQuantity::drop_level:
        losses.drop_dbm = value;
        break;
    }
  }
  return losses;
}

Served LevelModel::strongest(std::size_t i, const Losses& losses,
                             const std::vector<double>& gains) const {
  const Observation& row = rows_[i];
  if (row.rays.empty()) return {0, row.level_dbm};
  Served best{0, -std::numeric_limits<double>::infinity()};
  for (std::size_t r = 0; r < row.rays.size(); ++r) {
    const Ray& ray = row.rays[r];
    const double level = ray.fixed_dbm + losses.eirp_db[ray.node][ray.sector] +
                         gains[first_ray_[i] + r] - losses.foliage_scale * ray.foliage_db -
                         (ray.in_vehicle ? losses.vehicle_db : 0.0) -
                         (ray.behind_body ? losses.body_db : 0.0);
    if (level > best.level_dbm) best = {r, level};
  }
  return best;
}

double LevelModel::residual(std::size_t i, const Losses& losses,
                            const std::vector<double>& gains) const {
  const Observation& row = rows_[i];
  const double level = strongest(i, losses, gains).level_dbm;
  switch (row.evidence) {
    case Evidence::level:
      return (row.level_dbm - level) / row.sigma_db;
    case Evidence::connected:
      return bound_deviance((level - losses.drop_dbm) / row.sigma_db);
    case Evidence::lost:
      return -bound_deviance((losses.drop_dbm - level) / row.sigma_db);
  }
  return 0.0;
}

Served LevelModel::served(const Eigen::VectorXd& values, std::size_t row) const {
  const std::vector<Node> nodes = with_values(site_nodes_, unknowns_, values);
  std::vector<double> row_gains(first_ray_.back());
  for (std::size_t r = 0; r < rows_[row].rays.size(); ++r) {
    const Ray& ray = rows_[row].rays[r];
    row_gains[first_ray_[row] + r] =
        gain_towards(nodes[ray.node].sectors[ray.sector], ray.azimuth, ray.elevation,
                     settings_.beams[ray.node][ray.sector])
            .broadcast.value;
  }
  return strongest(row, losses_at(values), row_gains);
}

Eigen::VectorXd LevelModel::residuals(const Eigen::VectorXd& values, Eigen::MatrixXd* jacobian,
                                      const std::vector<bool>* free) const {
  const auto count = static_cast<Eigen::Index>(rows_.size());
  const std::vector<Node> nodes = with_values(site_nodes_, unknowns_, values);
  const std::vector<double> here = gains(nodes);
  const auto all = [&](const Eigen::VectorXd& at, const std::vector<double>& with) {
    const Losses losses = losses_at(at);
    Eigen::VectorXd residuals(count);
    for (Eigen::Index i = 0; i < count; ++i) {
      residuals[i] = residual(static_cast<std::size_t>(i), losses, with);
    }
    return residuals;
  };
  if (jacobian != nullptr) {
    *jacobian = Eigen::MatrixXd::Zero(count, values.size());
    for (std::size_t k = 0; k < unknowns_.size(); ++k) {
      if (free != nullptr && !(*free)[k]) continue;
      const Unknown& u = unknowns_[k];
      const auto column = static_cast<Eigen::Index>(k);
      const auto moved = [&](double step) {
        Eigen::VectorXd at = values;
        at[column] += step;
        if (!u.is_angle()) return all(at, here);
        Sector sector = nodes[u.node].sectors[u.sector];
        Angle& angle = u.quantity == FitQuantity::azimuth ? sector.azimuth : sector.downtilt;
        angle = angle + Angle::degrees(step);
        std::vector<double> there = here;
        gains_of(sector, u.node, u.sector, there);
        return all(at, there);
      };
      jacobian->col(column) = (moved(u.step) - moved(-u.step)) / (2.0 * u.step);
    }
  }
  return all(values, here);
}

}  // namespace sim
