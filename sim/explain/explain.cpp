#include <algorithm>
#include <atomic>
#include <cmath>
#include <tuple>

#include "sim/base/parallel.h"
#include "sim/explain/explanation.h"
#include "sim/explain/judgement.h"
#include "sim/explain/possible_places.h"
#include "sim/explain/sentence.h"
#include "sim/explain/shortest_step.h"
#include "sim/explain/suspects.h"
#include "sim/explain/verdict.h"
#include "sim/predict/serving_link.h"
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
  /// `row` is what the point says of things that the map lacks; no ends = nothing.
  void explain(ExplainedPoint& p, double offset_db, SuspectRow& row) const {
    if (p.link) {
      const std::vector<PossiblePlace> places =
          possible_places(caster_, footprints_, *p.stand, accuracy_m(p.measurement),
                          p.measurement.node, settings_, options_);
      const Verdict verdict = weigh(places, p.measurement, offset_db, settings_);
      p.unmapped_log_ratio = weaker_log_ratio(verdict);
      const auto blocked = std::count_if(places.begin(), places.end(), [](const auto& place) {
        return place.link.sight == Sight::nlos;
      });
      p.mostly_blocked = 2 * static_cast<std::size_t>(blocked) > places.size();
      decide(p, judge(caster_, places, verdict, p.measurement, offset_db, settings_));
      seek_step(p, places, verdict, offset_db);
      row = suspect_row(p, places, offset_db);
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
  static void decide(ExplainedPoint& p, Judgement judgement) {
    p.reading = judgement.reading;
    p.cause = judgement.cause;
    p.cause_obstacle = judgement.obstacle;
    p.confidence = judgement.confidence;
    p.costs = std::move(judgement.costs);
    p.likely = std::move(judgement.likely);
  }

  /// Where the map itself blocks the way, nothing.
  SuspectRow suspect_row(const ExplainedPoint& p, const std::vector<PossiblePlace>& places,
                         double offset_db) const {
    constexpr double least_sigma_m = 0.1;
    const Measurement& m = p.measurement;
    SuspectRow row{.node = p.link->node,
                   .frequency = scene_.nodes[p.link->node].sectors[p.link->sector].frequency,
                   .evidence = evidence_of(m, settings_),
                   .weaker = p.unmapped_log_ratio > 0.0 && !p.mostly_blocked,
                   .walk = m.survey + "\n" + m.run,
                   .time_s = m.time_s.value_or(0.0),
                   .reported = p.stand->receiver.position,
                   .place_sigma_m = std::max(place_sigma_m(accuracy_m(m)), least_sigma_m),
                   .ends = {}};
    if (row.evidence.none()) return row;
    for (const PossiblePlace& place : places) {
      const LinkResult& link = place.link;
      row.ends.push_back({.phone = link.receiver.position,
                          .level_dbm = link.rsrp.value + offset_db,
                          .sigma_db = comparison_sigma_db(link, settings_),
                          .direct_share = std::pow(10.0, -0.1 * link.reflection_gain.value),
                          .blocked = link.sight == Sight::nlos});
    }
    return row;
  }

  /// Where the link is lost, and a move can mend it as far as the map knows.
  void seek_step(ExplainedPoint& p, const std::vector<PossiblePlace>& places,
                 const Verdict& verdict, double offset_db) const {
    if (p.reading != Reading::as_mapped && p.reading != Reading::position) return;
    if (p.cause == Cause::none || !lost(p, offset_db)) return;
    LinkSettings shifted = settings_;
    shifted.hold_rsrp = settings_.hold_rsrp - Db(offset_db);
    shifted.drop_rsrp = settings_.drop_rsrp - Db(offset_db);
    if (p.cause == Cause::enclosure || p.cause == Cause::body) {
      p.holds_without_cause =
          !p.costs.empty() && p.likely->rsrp + p.costs[0].cost >= shifted.hold_rsrp;
      if (p.holds_without_cause) return;
    }
    std::vector<StartingPlace> from;
    for (std::size_t k = 0; k < places.size(); ++k) {
      from.push_back({places[k].stand, verdict.as_mapped[k]});
    }
    p.step_sought = true;
    p.step =
        shortest_step(caster_, footprints_, std::move(from), p.measurement.node, shifted, options_);
  }

  bool lost(const ExplainedPoint& p, double offset_db) const {
    const Measurement& m = p.measurement;
    if (m.rsrp_dbm) return *m.rsrp_dbm < settings_.hold_rsrp.value;
    if (m.connected) return !*m.connected;
    return p.likely->rsrp.value + offset_db < settings_.hold_rsrp.value;
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

/// Those that say something, walk by walk in the order walked.
std::vector<SuspectRow> in_order_walked(std::vector<SuspectRow> rows) {
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].point = i;
  std::erase_if(rows, [](const SuspectRow& row) { return row.ends.empty(); });
  std::stable_sort(rows.begin(), rows.end(), [](const SuspectRow& a, const SuspectRow& b) {
    return std::tie(a.walk, a.time_s) < std::tie(b.walk, b.time_s);
  });
  return rows;
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
  std::vector<SuspectRow> rows(explanation.points.size());
  each([&](std::size_t i) {
    ExplainedPoint& p = explanation.points[i];
    explainer.explain(p, p.link ? explanation.level_offset_db[p.link->node] : 0.0, rows[i]);
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
  explanation.suspects = find_suspects(caster.scene(), in_order_walked(std::move(rows)));
  explanation.drops = explain_drops(explanation, settings);
  explanation.walked_places = walked_places(survey.measurements, settings.drop_rsrp.value);
  return explanation;
}

}  // namespace sim
