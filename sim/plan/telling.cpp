#include "sim/plan/telling.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/parallel.h"
#include "sim/fit/identify.h"

namespace sim {

Telling::Telling(const PlanGround& ground, const std::vector<Candidate>& candidates,
                 const Survey* measured) {
  const Scene& scene = ground.caster.scene();
  const LinkSettings tracing = fit_settings(scene);
  std::vector<Observation> rows(candidates.size());
  parallel_blocks(rows.size(), 4, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Candidate& c = candidates[i];
      if (!c.link) continue;
      Observation& row = rows[i];
      row.receiver = c.link->receiver;
      const double radius = std::max(
          ground.reach_m, horizontal_distance_m(scene.nodes[c.node].position, c.phone) + 1.0);
      LinkResult loudest;
      row.rays = rays_to(ground.caster, row.receiver, tracing,
                         {.radius_m = radius, .receiver_height_agl_m = c.height_agl_m},
                         scene.nodes[c.node].id, &loudest);
      row.sigma_db = std::hypot(loudest.sigma.value, tracing.defaults("measured_level_sigma_db"));
      row.evidence = c.link->p_hold >= 0.5 ? Evidence::level : Evidence::lost;
      row.level_dbm = c.link->rsrp.value;
      for (std::size_t r = 0; r < row.rays.size(); ++r) {
        if (row.rays[r].node == c.link->node && row.rays[r].sector == c.link->sector) {
          row.strongest = r;
        }
      }
    }
  });
  std::vector<Observation> seen;
  if (measured != nullptr) {
    seen = observe(ground.caster, *measured, tracing,
                   {.radius_m = ground.reach_m, .receiver_height_agl_m = ground.height_agl_m})
               .rows;
  }
  std::vector<Observation> all = rows;
  all.insert(all.end(), seen.begin(), seen.end());
  unknowns_ = unknowns_of(scene.nodes, all, ground.settings, false);
  const Eigen::VectorXd values = site_values(unknowns_);
  const auto count = static_cast<Eigen::Index>(unknowns_.size());
  Eigen::MatrixXd known = Eigen::MatrixXd::Zero(count, count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const double plausible = unknowns_[static_cast<std::size_t>(k)].plausible;
    known(k, k) = 1.0 / (plausible * plausible);
  }
  if (!seen.empty()) {
    const LevelModel model(scene.nodes, ground.settings, unknowns_, seen);
    known += information(model, values, {Robust::tukey, 1.0});
  }
  const LevelModel there(scene.nodes, ground.settings, unknowns_, rows);
  Eigen::MatrixXd slopes;
  there.residuals(values, &slopes);
  slopes_.reserve(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    Eigen::VectorXd own = slopes.row(static_cast<Eigen::Index>(i)).transpose();
    if (rows[i].rays.empty()) own.setZero();
    slopes_.push_back(own);
  }
  growth_ = std::make_unique<InformationGrowth>(known);
}

std::string Telling::take(std::size_t candidate) {
  const Eigen::VectorXd before = growth_->deviations();
  growth_->add(slopes_[candidate]);
  const Eigen::VectorXd after = growth_->deviations();
  Eigen::Index most = -1;
  double least_left = 0.99;  // of the deviation: less is nothing new
  for (Eigen::Index k = 0; k < before.size(); ++k) {
    const double left = after[k] / before[k];
    if (left < least_left) {
      least_left = left;
      most = k;
    }
  }
  if (most < 0) return "";
  const Unknown& u = unknowns_[static_cast<std::size_t>(most)];
  return fmt::format("{} (from ±{:.2g} to ±{:.2g}{}{})", u.name, before[most], after[most],
                     u.unit.empty() ? "" : " ", u.unit);
}

}  // namespace sim
