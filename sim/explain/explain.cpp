#include <algorithm>
#include <atomic>
#include <cmath>

#include "sim/base/parallel.h"
#include "sim/explain/explanation.h"
#include "sim/explain/sentence.h"
#include "sim/explain/serving_link.h"
#include "sim/explain/shortest_step.h"
#include "sim/explain/suspects.h"
#include "sim/explain/verdict.h"
#include "sim/survey/repeats.h"

namespace sim {
namespace {

/// A position is believed this well where the survey does not say; common practice, no source.
double accuracy_m(const Measurement& m) {
  if (m.accuracy_m) return std::clamp(*m.accuracy_m, 0.0, 100.0);
  return m.placed_by == PlacedBy::gps ? 4.0 : 3.0;
}

class Explainer {
 public:
  Explainer(const RayCaster& caster, const LinkSettings& settings, const PredictOptions& options,
            LengthUnits units)
      : caster_(caster),
        scene_(caster.scene()),
        footprints_(caster.scene()),
        settings_(settings),
        options_(options),
        units_(units) {}

  /// The row, where it stands, and the link to compare with.
  ExplainedPoint placed(const Measurement& m) const {
    ExplainedPoint p{.measurement = m};
    if (m.place) {
      p.stand = receiver_point(scene_, "", {m.place->x, m.place->y, 0.0},
                               options_.receiver_height_agl_m, m.context);
    }
    if (p.stand) {
      p.stand->receiver.facing = m.facing;
      p.link = serving_link(caster_, p.stand->receiver, m.node, settings_, options_);
    }
    if (p.link && m.rsrp_dbm) p.residual_db = *m.rsrp_dbm - p.link->rsrp.value;
    return p;
  }

  /// Adds cause, confidence, step and sentence. `offset_db` is by how much the node's levels are
  /// off as a whole.
  void explain(ExplainedPoint& p, double offset_db) const {
    if (p.link) {
      judge(p, weigh(*p.link, p.measurement, offset_db, nearby_levels(p), settings_));
    } else if (!p.stand) {
      p.cause = Cause::position;
      p.confidence = 1.0;
    } else if (!scene_.nodes.empty()) {
      p.cause = Cause::distance;
      p.confidence = 1.0;
    }
    p.sentence = sentence_of(scene_, p, options_, units_);
  }

 private:
  /// Levels that the prediction gives around the place, as far as its accuracy reaches.
  std::vector<double> nearby_levels(const ExplainedPoint& p) const {
    std::vector<double> levels;
    const double reach = accuracy_m(p.measurement);
    for (const double share : {0.5, 1.0}) {
      for (int k = 0; k < 8; ++k) {
        const Angle azimuth = Angle::degrees(45.0 * k);
        Receiver there = p.stand->receiver;
        there.position =
            there.position + (share * reach) * scene_.frame.direction(azimuth, there.position);
        const double ground = scene_.ground.height_at(there.position.x_m, there.position.y_m);
        if (std::isnan(ground) || footprints_.building_at(there.position.x_m, there.position.y_m)) {
          continue;
        }
        there.position.z_m = ground + p.stand->height_agl_m;
        if (const auto link =
                serving_link(caster_, there, p.measurement.node, settings_, options_)) {
          levels.push_back(link->rsrp.value);
        }
      }
    }
    return levels;
  }

  void judge(ExplainedPoint& p, const Verdict& verdict) const {
    p.reading = verdict.reading;
    p.confidence = verdict.confidence;
    switch (verdict.reading) {
      case Reading::as_mapped:
        p.cause = p.link->cause;
        p.cause_obstacle = p.link->cause_obstacle;
        p.confidence *= share_of_cause(*p.link);
        if (p.link->state != LinkState::hold && !measured_to_hold(p.measurement)) {
          p.step_sought = true;
          p.step = shortest_step(caster_, footprints_, *p.stand, p.measurement.node, settings_,
                                 options_);
        }
        break;
      case Reading::weaker:
        p.cause = Cause::unmapped;
        break;
      case Reading::stronger:
        p.cause = Cause::unmapped;
        p.cause_obstacle = p.link->cause_obstacle;
        break;
      case Reading::position:
        p.cause = Cause::position;
        break;
      case Reading::load:
        p.cause = Cause::load;
        break;
    }
  }

  bool measured_to_hold(const Measurement& m) const {
    return m.rsrp_dbm && *m.rsrp_dbm >= settings_.hold_rsrp.value;
  }

  /// How much of what is lost on the way the named cause takes, 0..1.
  static double share_of_cause(const LinkResult& link) {
    if (link.cause_obstacle == no_obstacle) return 1.0;
    double all = 0.0, mine = 0.0;
    for (const LossTerm& term : link.terms) {
      if (term.group == TermGroup::free_space || term.group == TermGroup::gas_rain) continue;
      all += term.loss.value;
      if (term.obstacle == link.cause_obstacle) mine += term.loss.value;
    }
    return all > 0.0 ? mine / all : 1.0;
  }

  const RayCaster& caster_;
  const Scene& scene_;
  FootprintIndex footprints_;
  LinkSettings settings_;
  PredictOptions options_;
  LengthUnits units_;
};

/// By how much the levels of each node are off where its sight is free: a wrong EIRP or phone gain
/// in the site, not an obstacle. 0 with too few such points or where it is within their spread.
std::vector<double> level_offsets(const Scene& scene, const std::vector<ExplainedPoint>& points) {
  constexpr std::size_t least_points = 5;  // common practice, no source
  constexpr double least_offset_db = 3.0;  // less is the phone's own spread
  std::vector<std::vector<double>> residuals(scene.nodes.size());
  for (const ExplainedPoint& p : points) {
    if (p.residual_db && p.link->sight == Sight::los) {
      residuals[p.link->node].push_back(*p.residual_db);
    }
  }
  std::vector<double> offsets(scene.nodes.size(), 0.0);
  for (std::size_t n = 0; n < offsets.size(); ++n) {
    if (residuals[n].size() < least_points) continue;
    const double median = quantile(residuals[n], 0.5);
    if (std::abs(median) >= least_offset_db) offsets[n] = median;
  }
  return offsets;
}

/// Rays that something unmapped takes, and rays that are known to be free of it.
std::vector<SuspectRay> rays_of(const std::vector<ExplainedPoint>& points,
                                const std::vector<double>& offsets_db,
                                const LinkSettings& settings) {
  std::vector<SuspectRay> rays;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const ExplainedPoint& p = points[i];
    if (!p.link || p.link->sight == Sight::nlos) continue;
    const bool weaker = p.reading == Reading::weaker;
    const double least = offsets_db[p.link->node] - comparison_sigma_db(*p.link, settings);
    const bool free =
        p.residual_db ? *p.residual_db > least : p.measurement.connected.value_or(false);
    if (weaker || free) {
      rays.push_back({i, p.link->node, p.stand->receiver.position, weaker});
    }
  }
  return rays;
}

}  // namespace

Explanation explain(const RayCaster& caster, const Survey& survey, const LinkSettings& settings,
                    const PredictOptions& options, LengthUnits units) {
  const Explainer explainer(caster, settings, options, units);
  Explanation explanation;
  explanation.points.resize(survey.measurements.size());
  std::atomic<std::size_t> done{0};  // of both rounds below
  const auto each = [&](const auto& work) {
    parallel_blocks(survey.measurements.size(), 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        work(i);
        const std::size_t so_far = ++done;
        if (options.progress) options.progress(so_far, 2 * survey.measurements.size());
      }
    });
  };
  each([&](std::size_t i) { explanation.points[i] = explainer.placed(survey.measurements[i]); });
  explanation.level_offset_db = level_offsets(caster.scene(), explanation.points);
  each([&](std::size_t i) {
    ExplainedPoint& p = explanation.points[i];
    explainer.explain(p, p.link ? explanation.level_offset_db[p.link->node] : 0.0);
  });
  std::vector<double> residuals;
  for (const ExplainedPoint& p : explanation.points) {
    if (p.residual_db) residuals.push_back(*p.residual_db);
  }
  constexpr double quartiles_per_sigma = 1.349;  // interquartile range of a normal distribution
  explanation.compared = residuals.size();
  explanation.median_residual_db = quantile(residuals, 0.5);
  explanation.residual_spread_db =
      (quantile(residuals, 0.75) - quantile(residuals, 0.25)) / quartiles_per_sigma;
  explanation.suspects = find_suspects(
      caster.scene(), rays_of(explanation.points, explanation.level_offset_db, settings));
  return explanation;
}

}  // namespace sim
