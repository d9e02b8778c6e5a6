// Why each measured point is as it is.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/predict/prediction.h"
#include "sim/survey/survey.h"

namespace sim {

/// The shortest horizontal move that brings the link back.
struct Step {
  double east_m = 0.0, north_m = 0.0;
  double distance_m() const { return std::hypot(east_m, north_m); }
};

struct ExplainedPoint {
  Measurement measurement;
  std::optional<LinkResult> link;  ///< the best link there; none without nodes in range or a place
  std::string node, sector;
  std::optional<double> residual_db;  ///< measured minus predicted RSRP
  Cause cause = Cause::none;
  std::string cause_id;
  SourceRef cause_source;
  double confidence = 0.0;  ///< 0..1
  std::optional<Step> step;
  std::string sentence;
};

/// A place where the map is probably missing an obstacle.
struct Suspect {
  ScenePoint place;
  double likelihood = 0.0;  ///< 0..1
  double width_m = 0.0;
  std::vector<std::size_t> points;  ///< indices of the explained points it would explain
};

struct Explanation {
  std::vector<ExplainedPoint> points;  ///< one per survey row, in input order
  std::vector<Suspect> suspects;
  double median_residual_db = 0.0;  ///< NaN without pairs
  double residual_spread_db = 0.0;  ///< half the interquartile range / 0.6745
  std::size_t compared = 0;
};

Explanation explain(const RayCaster& caster, const Survey& survey, const LinkSettings& settings,
                    const PredictOptions& options);

}  // namespace sim
