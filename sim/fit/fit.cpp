#include "sim/fit/fit.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/fit/start.h"

namespace sim {
namespace {

/// Why rows were left out, most frequent first: "12 rows: has no position".
std::string reasons(const std::vector<LeftOut>& left_out) {
  std::map<std::string, std::size_t> counts;
  for (const LeftOut& row : left_out) ++counts[row.why];
  std::string text;
  for (const auto& [why, count] : counts) {
    text += (text.empty() ? "" : "; ") + std::to_string(count) + (count == 1 ? " row " : " rows ") +
            why;
  }
  return text;
}

class Fitter {
 public:
  Fitter(Scene& scene, const RayCaster& caster, const Survey& survey, const FitOptions& options)
      : scene_(scene),
        caster_(caster),
        survey_(survey),
        options_(options),
        site_(link_settings(scene)),
        tracing_{.radius_m = options.radius_m,
                 .receiver_height_agl_m = options.receiver_height_agl_m,
                 .site_nodes = scene.nodes} {
    fit_.site_nodes = scene.nodes;
    fit_.confidence = site_.defaults("confidence");
  }

  SurveyFit run(const SourceRef& where) {
    seen_ = observe(caster_, survey_, fit_settings(scene_), tracing_);
    if (seen_.rows.empty()) {
      const std::string why = reasons(seen_.left_out);
      throw InputError(where, "has no row to fit to" + (why.empty() ? "" : ": " + why) +
                                  "; a row needs a place within radius_m of a node, and rsrp_dbm "
                                  "or connected");
    }
    before_ = predicted_now();
    if (options_.search_position) move_node();
    unknowns_ = unknowns_of(fit_.site_nodes, seen_.rows, site_, options_.eirp_per_sector);
    values_ = site_values(unknowns_);
    for (int round = 0; round < 3; ++round) {
      solve_all();
      if (!trace_again()) break;
    }
    report();
    return std::move(fit_);
  }

 private:
  LevelModel model() const { return {fit_.site_nodes, site_, unknowns_, seen_.rows}; }

  /// Levels with the site as it stands, by measurement.
  std::map<std::size_t, double> predicted_now() {
    const std::vector<Unknown> none;
    const LevelModel plain(fit_.site_nodes, site_, none, seen_.rows);
    std::map<std::size_t, double> levels;
    for (std::size_t i = 0; i < seen_.rows.size(); ++i) {
      if (seen_.rows[i].rays.empty()) continue;
      levels[seen_.rows[i].measurement] = plain.served(Eigen::VectorXd(), i).level_dbm;
    }
    return levels;
  }

  void move_node() {
    fit_.position = search_position(scene_, caster_, survey_, *options_.search_position, tracing_,
                                    options_.search_reach_m);
    if (!fit_.position->moved) return;
    seen_ = observe(caster_, survey_, fit_settings(scene_), tracing_);
  }

  /// Robust fit with what the rows cannot tell held, until nothing more is to be held.
  void solve_all() {
    const LevelModel now = model();
    const Eigen::VectorXd site = site_values(unknowns_);
    std::vector<bool> free(unknowns_.size(), true);
    shape_ = {Robust::huber, 1.0};
    // A rough fit of all, to look at the rows from a place where they have slopes.
    Solved best = solve_from_anywhere(now, site, free, shape_);
    std::vector<Held> held;
    while (true) {
      const Eigen::MatrixXd told = information(now, best.values, shape_);
      const double scale = robust_scale(now, now.residuals(best.values), count(free));
      const std::vector<Held> more = hold_unknown(unknowns_, told, scale, free);
      if (more.empty()) break;
      held.insert(held.end(), more.begin(), more.end());
      best = solve_from_anywhere(now, site, free, shape_);
    }
    // The spread as the rows have it, then let what is far off go.
    for (int round = 0; round < 3; ++round) {
      shape_.scale = robust_scale(now, now.residuals(best.values), count(free));
      best = solve(now, best.values, free, shape_);
      shape_.kind = Robust::tukey;
    }
    values_ = best.values;
    free_ = free;
    held_ = held;
  }

  /// What other paths add hangs on where the beam looks: traces once more at the fitted values.
  /// False when no row has such paths, or they no longer change anything.
  bool trace_again() {
    const LevelModel old = model();
    const bool reflected =
        std::any_of(seen_.rows.begin(), seen_.rows.end(), [](const Observation& row) {
          return std::any_of(row.rays.begin(), row.rays.end(),
                             [](const Ray& ray) { return ray.reflected; });
        });
    std::vector<Node> nodes = with_values(fit_.site_nodes, unknowns_, values_);
    for (std::size_t n = 0; n < nodes.size(); ++n) scene_.nodes[n].sectors = nodes[n].sectors;
    if (!reflected) return false;
    ObservationOptions same_rows = tracing_;
    same_rows.deep_shadow_too = true;
    Observations again = observe(caster_, survey_, fit_settings(scene_), same_rows);
    std::erase_if(again.rows, [&](const Observation& row) {
      return std::none_of(seen_.rows.begin(), seen_.rows.end(), [&](const Observation& kept) {
        return kept.measurement == row.measurement;
      });
    });
    weigh_rows(again.rows, site_);
    const LevelModel fresh(fit_.site_nodes, site_, unknowns_, again.rows);
    constexpr double nothing_db = 0.05;
    double most = 0.0;
    for (std::size_t i = 0; i < again.rows.size(); ++i) {
      most = std::max(
          most, std::abs(fresh.served(values_, i).level_dbm - old.served(values_, i).level_dbm));
    }
    seen_.rows = std::move(again.rows);
    return most > nothing_db;
  }

  /// Of each row with the site as it stood; NaN where a search moved a node and the row was out of
  /// its reach before.
  Eigen::VectorXd residuals_before(const LevelModel& now) const {
    Eigen::VectorXd residuals = now.residuals(site_values(unknowns_));
    for (std::size_t i = 0; i < seen_.rows.size(); ++i) {
      const Observation& row = seen_.rows[i];
      if (row.evidence != Evidence::level) continue;
      residuals[index(i)] = (row.level_dbm - before_of(row)) / row.sigma_db;
    }
    return residuals;
  }
  double before_of(const Observation& row) const {
    const auto known = before_.find(row.measurement);
    return known == before_.end() ? std::nan("") : known->second;
  }

  void report() {
    const LevelModel now = model();
    const Eigen::VectorXd width = half_widths(now, values_, free_, shape_, fit_.confidence);
    fit_.residual_scale = shape_.scale;
    fit_.left_out = seen_.left_out;
    fit_.effective_rows = effective_levels(now);
    for (std::size_t k = 0; k < unknowns_.size(); ++k) add_value(k, width[index(k)]);
    const Eigen::VectorXd residuals = now.residuals(values_);
    fit_.after = error_of(now, residuals);
    fit_.unseen = cross_validate(now, residuals_before(now), values_, free_, shape_,
                                 site_.defaults("shadow_correlation_los_m"));
    add_rows(now, residuals);
    fit_.before = fit_.unseen.before;
    for (const Held& held : held_) fit_.wanted.push_back(held.unknown);
    if (fit_.wanted.empty()) {
      for (std::size_t k = 0; k < unknowns_.size(); ++k) fit_.wanted.push_back(k);
    }
    fit_.next = next_points(caster_, now, values_, information(now, values_, shape_),
                            fit_.residual_scale, fit_.wanted, tracing_, {});
  }

  void add_value(std::size_t k, double half_width) {
    const double value = values_[index(k)];
    FittedValue fitted{.unknown = unknowns_[k], .value = value};
    const auto held =
        std::find_if(held_.begin(), held_.end(), [&](const Held& h) { return h.unknown == k; });
    if (held != held_.end()) {
      fitted.held = *held;
      fitted.low = fitted.high = std::nan("");
    } else {
      fitted.low = value - half_width;
      fitted.high = value + half_width;
      const double edge = 1e-6 * unknowns_[k].known_within;
      fitted.at_bound = value <= unknowns_[k].lower + edge || value >= unknowns_[k].upper - edge;
    }
    fit_.values.push_back(fitted);
  }

  void add_rows(const LevelModel& now, const Eigen::VectorXd& residuals) {
    for (std::size_t i = 0; i < seen_.rows.size(); ++i) {
      const Observation& seen = seen_.rows[i];
      if (seen.rays.empty()) continue;
      const Served served = now.served(values_, i);
      const bool level = seen.evidence == Evidence::level;
      const double u = residuals[index(i)] / (level ? shape_.scale : 1.0);
      ++(level ? fit_.levels : fit_.bounds);
      fit_.rows.push_back(
          {.measurement = seen.measurement,
           .evidence = seen.evidence,
           .node = seen.rays[served.ray].node,
           .sector = seen.rays[served.ray].sector,
           .azimuth = seen.rays[served.ray].azimuth,
           .sigma_db = seen.sigma_db,
           .weight = seen.weight,
           .counts = influence(u, shape_.kind).share,
           .before_dbm = before_of(seen),
           .after_dbm = served.level_dbm,
           .unseen_residual_db =
               level ? fit_.unseen.residuals[index(i)] * seen.sigma_db : std::nan("")});
    }
  }

  static Eigen::Index index(std::size_t k) { return static_cast<Eigen::Index>(k); }
  static std::size_t count(const std::vector<bool>& free) {
    return static_cast<std::size_t>(std::count(free.begin(), free.end(), true));
  }

  Scene& scene_;
  const RayCaster& caster_;
  const Survey& survey_;
  const FitOptions& options_;
  const LinkSettings site_;
  const ObservationOptions tracing_;
  Observations seen_;
  std::map<std::size_t, double> before_;
  std::vector<Unknown> unknowns_;
  Eigen::VectorXd values_;
  std::vector<bool> free_;
  std::vector<Held> held_;
  RobustShape shape_;
  SurveyFit fit_;
};

}  // namespace

SurveyFit fit_survey(Scene& scene, const RayCaster& caster, const Survey& survey,
                     const SourceRef& where, const FitOptions& options) {
  return Fitter(scene, caster, survey, options).run(where);
}

}  // namespace sim
