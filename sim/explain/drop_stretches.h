// Where a walk lost the link and found it again, beside what was predicted there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/link/link.h"
#include "sim/survey/survey.h"

namespace sim {

struct Explanation;

/// Rows that follow each other in a walk, as indices of the explained points, last included.
struct RowRange {
  std::size_t first = 0, last = 0;
  std::size_t rows() const { return last - first + 1; }
};

struct ExplainedDrop {
  std::string survey, run;
  RowRange measured;
  std::optional<Xy> from, to;  ///< site CRS
  double walked_m = 0.0;       ///< between its placed rows
  bool regained = false;       ///< the walk goes on with a link
  /// The predicted loss of link that shares most rows with it; none without a node or where the map
  /// holds the link throughout.
  std::optional<RowRange> predicted;
  std::optional<Xy> predicted_from, predicted_to;
  bool comparable = false;  ///< a prediction stands beside its rows
  double agreement = 0.0;   ///< rows lost in both over rows lost in either, 0..1
  Cause cause = Cause::none;
  ObstacleId cause_obstacle = no_obstacle;
  double confidence = 0.0;  ///< mean over its rows of what each gives the cause
};

/// Every stretch of every walk, in the order walked. A predicted level below `drop_rsrp` is lost;
/// the level offset of the node is allowed for.
std::vector<ExplainedDrop> explain_drops(const Explanation& explanation,
                                         const LinkSettings& settings);

}  // namespace sim
