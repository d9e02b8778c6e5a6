// Groups side by side: everything that a comparison says.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "sim/base/assets.h"
#include "sim/compare/agreement.h"
#include "sim/compare/compared_row.h"
#include "sim/compare/hold_edge.h"
#include "sim/compare/like_with_like.h"
#include "sim/compare/stretches.h"

namespace sim {

struct CompareSettings {
  double bin_m = 50.0;
  double stretch_m = 20.0;
  std::size_t least_edge_outcomes = 5;  ///< held and lost stretches that an edge needs
  BootstrapSettings bootstrap;
};
/// compare_* and bootstrap_* of assets/defaults.csv.
CompareSettings compare_settings(const Defaults& defaults);

/// Which of a group's stretches or places a number is of.
struct Subset {
  std::optional<int> bin;        ///< none = all distances
  std::optional<InSight> sight;  ///< none = wherever
  std::string situation;         ///< empty = however held
  auto operator<=>(const Subset&) const = default;
};

/// Of stretches measured. NaN where there is none.
struct Middle {
  std::size_t rows = 0, stretches = 0;
  double median = 0.0, lower_quartile = 0.0, upper_quartile = 0.0;
  ConfidenceInterval of_median;  ///< NaN below least_bootstrap_values stretches
};
struct LinkShare {
  std::size_t rows = 0, stretches = 0;
  double share = 0.0;  ///< mean of the stretches
  ConfidenceInterval of_share;
};
struct MeasuredCell {
  Subset subset;
  std::size_t rows = 0, stretches = 0;
  ByMeasure<Middle> middles;
  LinkShare linked;
};

/// Of places predicted: all there are, so it has a spread and no interval.
struct PlaceSpread {
  double median = 0.0, tenth = 0.0, ninetieth = 0.0;
};
struct PredictedCell {
  Subset subset;
  std::size_t places = 0;
  ByMeasure<PlaceSpread> spreads;  ///< of the latency NaN
  double mean_hold = 0.0;
};

/// How far the link holds; each without edges where nothing can be said, with the reason.
struct EdgeOf {
  enum class Source { measured, predicted_there, predicted } source = Source::measured;
  std::optional<InSight> sight;
  std::size_t count = 0, held = 0, lost = 0;  ///< stretches or places; held = at least half
  std::optional<HoldEdges> edges;
  std::string why_not;
};
std::string_view to_string(EdgeOf::Source source);

struct GroupResult {
  std::string label;
  std::vector<std::string> sites;
  std::vector<RadioKind> radios;
  std::size_t rows = 0, stretches = 0, places = 0;
  std::size_t without_distance = 0;  ///< rows
  double median_distance_m = 0.0;
  ConfidenceInterval of_median_distance;
  std::vector<MeasuredCell> measured;
  std::vector<PredictedCell> predicted;
  std::vector<EdgeOf> edges;
  ByMeasure<Agreement> agreement;
  std::string situation;  ///< most of its stretches are held this way

  const MeasuredCell* measured_in(const Subset& subset) const;
  const PredictedCell* predicted_in(const Subset& subset) const;
};

/// One against another, like with like.
struct Contrast {
  enum class Kind { groups, car, sight } kind = Kind::groups;
  std::string a, b;   ///< labels of groups, or "outdoor" and "in_vehicle", "in_sight" and …
  std::string group;  ///< in which; empty for Kind::groups
  ByMeasure<Difference> differences;
  Difference linked;
};
std::string_view to_string(Contrast::Kind kind);

struct CompareWarning {
  std::string code;  ///< "few_stretches", "unlike_distances", "mixed_bands", …
  std::vector<std::string> groups;
  std::string text;
};

struct Comparison {
  std::string by;
  CompareSettings settings;
  std::vector<ComparedSite> sites;  ///< without rows and places
  std::vector<GroupResult> groups;  ///< by label
  std::vector<Contrast> contrasts;
  std::vector<CompareWarning> warnings;
  std::size_t rows = 0, unlabelled_rows = 0;
  bool every_pair = true;  ///< else each group against the first only
  int bins = 0;            ///< from 0 up, as far as anything was measured or predicted
};

/// More groups than this are compared with the first only: pairs are many and chance finds some.
inline constexpr std::size_t most_paired_groups = 6;  // common practice, no source

Comparison compare(std::vector<ComparedSite> sites, const std::string& by,
                   const CompareSettings& settings);

/// Adds what must be known before two groups are set against each other.
void add_warnings(Comparison& comparison);

}  // namespace sim
