// Two ways of holding or housing the phone at one place, and what lies between them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/gis/crs.h"
#include "sim/survey/bootstrap.h"

namespace sim {

/// One quantity on both sides of a pair.
struct PairedQuantity {
  std::size_t reference_count = 0, other_count = 0;
  double reference_median = 0.0, other_median = 0.0;  ///< NaN without values
  double difference = 0.0;  ///< reference less other: what the thing between took, positive
  ConfidenceInterval of_difference;  ///< NaN with too few
  /// How the interval was found: bootstrap of medians where both sides have
  /// least_bootstrap_values, else Student's t of means; empty = too few for either.
  std::string method;
  double ratio = 0.0;           ///< other over reference; NaN where the reference is 0
  ConfidenceInterval of_ratio;  ///< bootstrap only
  /// Repeats on each side that would show a change of pair_change with pair_power; none without a
  /// spread.
  std::optional<std::size_t> repeats_needed;
};

struct MeasuredPair {
  enum class Kind { context, facing } kind = Kind::context;
  std::optional<Xy> place;
  std::string name;              ///< of the place; empty = not named
  std::string node;              ///< of the rows; may be empty
  std::string reference, other;  ///< "outdoor" and "in_vehicle"; "facing node" and "facing away"
  std::vector<std::size_t> reference_rows, other_rows;  ///< positions in the measurements
  PairedQuantity rsrp_dbm, downlink_mbps, uplink_mbps;
  std::size_t reference_known = 0, reference_connected = 0;  ///< rows that say, and say yes
  std::size_t other_known = 0, other_connected = 0;
};

}  // namespace sim
