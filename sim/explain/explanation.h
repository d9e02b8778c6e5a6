// Why each measured point is as it is.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "sim/explain/counterfactual.h"
#include "sim/explain/drop_stretches.h"
#include "sim/explain/repeated_walks.h"
#include "sim/predict/prediction.h"
#include "sim/survey/survey.h"

namespace sim {

/// What could be behind a row, apart from the map being right.
enum class Reading {
  as_mapped,  ///< the ledger explains it
  weaker,     ///< something that is not in the map takes more away
  stronger,   ///< something in the map is not there, or a path that is not traced helps
  position,   ///< it fits within the accuracy of the position
  load        ///< the level fits, but the rate does not
};

/// The shortest horizontal move that brings the link back.
struct Step {
  double east_m = 0.0, north_m = 0.0;  ///< true east and north
  double distance_m() const { return std::hypot(east_m, north_m); }
};

struct ExplainedPoint {
  Measurement measurement;
  std::optional<ReceiverPoint> stand;  ///< on the ground of the scene; none without a place there
  std::optional<LinkResult> link;      ///< the link compared with; none without a node in range
  std::optional<double> residual_db;   ///< measured minus predicted RSRP
  Reading reading = Reading::as_mapped;
  Cause cause = Cause::none;
  ObstacleId cause_obstacle = no_obstacle;
  double confidence = 0.0;  ///< 0..1, calibrated posterior of the cause
  std::vector<Cost> costs;  ///< what each thing costs at `likely`, dearest first
  /// The link at the likeliest place of those that tell of the cause: the reported one if it does.
  std::optional<LinkResult> likely;
  /// Log of how much likelier the row is if something unmapped takes level away than if not.
  double unmapped_log_ratio = 0.0;
  bool mostly_blocked = false;       ///< by the map, at most of these places
  bool step_sought = false;          ///< the link does not hold there, so a step was looked for
  bool holds_without_cause = false;  ///< out of the enclosure, or turned, the link would be back
  std::optional<Step> step;
  std::string sentence;
};

/// A place where the map is probably missing an obstacle.
struct Suspect {
  ScenePoint place;  ///< on the ground
  NodeIndex node = 0;
  double likelihood = 0.0;          ///< 0..1: that it stands within place_tolerance_m of the place
  double width_m = 0.0;             ///< of its longer side, as far as the rays tell
  double height_m = 0.0;            ///< as far as the rays over it and through it tell
  std::vector<std::size_t> points;  ///< indices of the explained points it would explain
  bool enough_evidence = false;     ///< several rays cross there, and it is likelier than not
  static constexpr double place_tolerance_m = 5.0;
};

struct Explanation {
  std::vector<ExplainedPoint> points;  ///< one per survey row, in input order
  std::vector<Suspect> suspects;       ///< likeliest first
  double median_residual_db = 0.0;     ///< NaN without pairs
  double residual_spread_db = 0.0;     ///< interquartile range / 1.349: a standard deviation
  std::size_t compared = 0;
  /// Per node: by how much its levels are off as a whole where sight is free. Verdicts allow for
  /// it; residuals do not.
  std::vector<double> level_offset_db;
  std::vector<ExplainedDrop> drops;        ///< where walks lost the link, in the order walked
  std::vector<WalkedPlace> walked_places;  ///< how often each place drops
};

/// Lengths in sentences: metres, or metres with feet beside.
enum class LengthUnits { metric, imperial };

/// Joins every survey row with the prediction at its place. Works without nodes, and then says what
/// it cannot say. Rows keep their order and their place.
Explanation explain(const RayCaster& caster, const Survey& survey, const LinkSettings& settings,
                    const PredictOptions& options, LengthUnits units = LengthUnits::metric);

}  // namespace sim
