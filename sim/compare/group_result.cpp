#include "sim/compare/group_result.h"

#include <algorithm>
#include <map>
#include <set>

#include "sim/base/quantile.h"
#include "sim/compare/proportions.h"

namespace sim {
namespace {

using Stretches = std::vector<const Stretch*>;

bool lies_in(const Subset& subset, int bin, InSight sight) {
  return (!subset.bin || *subset.bin == bin) && (!subset.sight || *subset.sight == sight);
}

Stretches of_subset(const Stretches& all, const Subset& subset) {
  Stretches found;
  for (const Stretch* s : all) {
    const bool held = subset.situation.empty() || subset.situation == s->like.situation;
    if (held && lies_in(subset, s->like.bin, s->like.sight)) found.push_back(s);
  }
  return found;
}

MeasuredCell measured_cell(const Stretches& stretches, const Subset& subset,
                           const CompareSettings& settings) {
  MeasuredCell cell{.subset = subset, .stretches = stretches.size()};
  for (const Stretch* s : stretches) cell.rows += s->rows;
  for (const Measure m : all_measures) {
    Middle& middle = cell.middles[m];
    std::vector<double> values;
    for (const Stretch* s : stretches) {
      if (!s->measured[m]) continue;
      values.push_back(*s->measured[m]);
      middle.rows += s->measured_rows[m];
    }
    middle.stretches = values.size();
    middle.median = quantile(values, 0.5);
    middle.lower_quartile = quantile(values, 0.25);
    middle.upper_quartile = quantile(values, 0.75);
    middle.of_median = median_interval(values, settings.bootstrap);
  }
  double sum = 0.0;
  for (const Stretch* s : stretches) {
    if (!s->linked) continue;
    sum += *s->linked;
    ++cell.linked.stretches;
    cell.linked.rows += s->linked_rows;
  }
  const auto n = static_cast<double>(cell.linked.stretches);
  cell.linked.share = n > 0.0 ? sum / n : std::numeric_limits<double>::quiet_NaN();
  if (cell.linked.stretches >= least_bootstrap_values) {
    cell.linked.of_share = wilson_interval(cell.linked.share, n, settings.bootstrap.share);
  }
  return cell;
}

/// All together, then by what is told apart; only what has stretches.
std::vector<MeasuredCell> measured_cells(const Stretches& stretches, int bins,
                                         const CompareSettings& settings) {
  std::set<std::string> situations{""};
  for (const Stretch* s : stretches) situations.insert(s->like.situation);
  std::vector<MeasuredCell> cells;
  for (const std::string& situation : situations) {
    for (const std::optional<InSight> sight :
         {std::optional<InSight>(), std::optional(InSight::in), std::optional(InSight::out)}) {
      for (int bin = -1; bin < bins; ++bin) {
        const Subset subset{bin < 0 ? std::nullopt : std::optional(bin), sight, situation};
        const Stretches some = of_subset(stretches, subset);
        if (!some.empty()) cells.push_back(measured_cell(some, subset, settings));
      }
    }
  }
  return cells;
}

std::vector<PredictedCell> predicted_cells(const std::vector<const PredictedPlace*>& places,
                                           int bins, double bin_m) {
  std::vector<PredictedCell> cells;
  if (places.empty()) return cells;
  std::map<std::pair<int, InSight>, std::vector<const PredictedPlace*>> sorted;
  for (const PredictedPlace* p : places) {
    sorted[{bin_of(p->distance_m, bin_m), p->sight}].push_back(p);
  }
  for (const std::optional<InSight> sight :
       {std::optional<InSight>(), std::optional(InSight::in), std::optional(InSight::out)}) {
    for (int bin = -1; bin < bins; ++bin) {
      const Subset subset{bin < 0 ? std::nullopt : std::optional(bin), sight, ""};
      PredictedCell cell{.subset = subset};
      ByMeasure<std::vector<double>> values;
      for (const auto& [key, some] : sorted) {
        if (!lies_in(subset, key.first, key.second)) continue;
        cell.places += some.size();
        for (const PredictedPlace* p : some) {
          cell.mean_hold += p->p_hold;
          for (const Measure m : all_measures) {
            if (p->predicted[m]) values[m].push_back(*p->predicted[m]);
          }
        }
      }
      if (cell.places == 0) continue;
      cell.mean_hold /= static_cast<double>(cell.places);
      for (const Measure m : all_measures) {
        cell.spreads[m] = {quantile(values[m], 0.5), quantile(values[m], 0.1),
                           quantile(values[m], 0.9)};
      }
      cells.push_back(std::move(cell));
    }
  }
  return cells;
}

EdgeOf edge_of(EdgeOf::Source source, std::optional<InSight> sight,
               const std::vector<HoldPoint>& points, const CompareSettings& settings) {
  EdgeOf edge{.source = source, .sight = sight, .count = points.size(), .edges = {}, .why_not = ""};
  for (const HoldPoint& p : points) ++(p.held >= 0.5 ? edge.held : edge.lost);
  const bool measured = source == EdgeOf::Source::measured;
  if (points.empty()) {
    edge.why_not = "nothing with a distance";
  } else if (measured && edge.lost == 0) {
    edge.why_not = "the link held throughout: the edge lies beyond what was measured";
  } else if (measured && edge.held == 0) {
    edge.why_not = "the link held nowhere: the edge lies nearer than what was measured";
  } else if (measured && std::min(edge.held, edge.lost) < settings.least_edge_outcomes) {
    edge.why_not = "too few to say: " + std::to_string(edge.held) + " stretches held and " +
                   std::to_string(edge.lost) + " did not; it takes " +
                   std::to_string(settings.least_edge_outcomes) + " of each";
  } else {
    const bool all = source == EdgeOf::Source::predicted;
    edge.edges =
        all ? edges_of_all(points) : hold_edges(points, measured ? &settings.bootstrap : nullptr);
    if (!edge.edges) edge.why_not = "all at one distance";
  }
  if (edge.edges && edge.edges->curve && edge.edges->curve->slope_per_m >= 0.0) {
    edge.why_not = "holding does not fall with distance";
    edge.edges.reset();
  }
  return edge;
}

/// As most of the stretches are held: a car would move the edge.
std::vector<EdgeOf> edges_of(const Stretches& stretches, const std::string& situation,
                             const std::vector<const PredictedPlace*>& places,
                             const CompareSettings& settings) {
  std::vector<EdgeOf> edges;
  for (const std::optional<InSight> sight :
       {std::optional<InSight>(), std::optional(InSight::in), std::optional(InSight::out)}) {
    std::vector<HoldPoint> measured, there, asked;
    for (const Stretch* s : of_subset(stretches, {std::nullopt, sight, situation})) {
      if (!s->linked || !s->distance_m) continue;
      measured.push_back({*s->distance_m, *s->linked});
      if (s->predicted_hold) there.push_back({*s->distance_m, *s->predicted_hold});
    }
    for (const PredictedPlace* p : places) {
      if (p->beside_beam) continue;  // another sector's business, not distance's
      if (!sight || p->sight == *sight) asked.push_back({p->distance_m, p->p_hold});
    }
    using Source = EdgeOf::Source;
    if (!measured.empty()) {
      edges.push_back(edge_of(Source::measured, sight, measured, settings));
      edges.push_back(edge_of(Source::predicted_there, sight, there, settings));
    }
    if (!asked.empty()) edges.push_back(edge_of(Source::predicted, sight, asked, settings));
  }
  return edges;
}

/// "outdoor" where it ties.
std::string usual_situation(const Stretches& stretches) {
  std::map<std::string, std::size_t> counts;
  for (const Stretch* s : stretches) ++counts[s->like.situation];
  std::string usual = "outdoor";
  for (const auto& [situation, count] : counts) {
    if (count > counts[usual]) usual = situation;
  }
  return usual;
}

}  // namespace

GroupResult group_result(const std::string& label, const Stretches& stretches,
                         const std::vector<const PredictedPlace*>& places, int bins,
                         const CompareSettings& settings) {
  GroupResult group{.label = label,
                    .sites = {},
                    .radios = {},
                    .stretches = stretches.size(),
                    .places = places.size(),
                    .situation = usual_situation(stretches)};
  std::vector<double> distances;
  ByMeasure<std::vector<Pair>> pairs;
  for (const Stretch* s : stretches) {
    group.rows += s->rows;
    if (s->distance_m) {
      distances.push_back(*s->distance_m);
    } else {
      group.without_distance += s->rows;
    }
    for (const Measure m : all_measures) {
      if (s->residual[m]) pairs[m].push_back({*s->predicted[m], *s->measured[m], *s->residual[m]});
    }
  }
  group.median_distance_m = quantile(distances, 0.5);
  group.of_median_distance = median_interval(distances, settings.bootstrap);
  group.measured = measured_cells(stretches, bins, settings);
  group.predicted = predicted_cells(places, bins, settings.bin_m);
  group.edges = edges_of(stretches, group.situation, places, settings);
  for (const Measure m : all_measures) {
    group.agreement[m] = agreement_of(pairs[m], settings.bootstrap);
  }
  return group;
}

const MeasuredCell* GroupResult::measured_in(const Subset& subset) const {
  const auto found = std::find_if(measured.begin(), measured.end(),
                                  [&](const MeasuredCell& c) { return c.subset == subset; });
  return found == measured.end() ? nullptr : &*found;
}

const PredictedCell* GroupResult::predicted_in(const Subset& subset) const {
  const auto found = std::find_if(predicted.begin(), predicted.end(),
                                  [&](const PredictedCell& c) { return c.subset == subset; });
  return found == predicted.end() ? nullptr : &*found;
}

std::string_view to_string(EdgeOf::Source source) {
  switch (source) {
    case EdgeOf::Source::measured:
      return "measured";
    case EdgeOf::Source::predicted_there:
      return "predicted_at_measured";
    case EdgeOf::Source::predicted:
      break;
  }
  return "predicted";
}

}  // namespace sim
