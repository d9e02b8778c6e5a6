// Where to stand to test a node, and in which order to walk there.
#pragma once

#include <functional>
#include <string>

#include "sim/explain/explanation.h"
#include "sim/import/records.h"
#include "sim/import/walking_map.h"
#include "sim/plan/planned.h"

namespace sim {

struct PlanOptions {
  double step_m = 30.0, reach_m = 400.0;
  double receiver_height_agl_m = 1.5;
  std::optional<std::size_t> count;   ///< the most telling ones alone
  std::vector<std::string> controls;  ///< pairs, off_side, in_car, informative
  std::string node;                   ///< only this one; empty = all
  LengthUnits units = LengthUnits::metric;
  /// Told how many of how many nodes are done; may be empty.
  std::function<void(std::size_t done, std::size_t of)> progress;
};
PlanOptions plan_options(const Site& site);

/// Throws InputError for a site without nodes or streets, a node that is not there, and a start or
/// control point off the ground. A node that is in sight of no street gives a plan without
/// positions of it, and a note. `measured` may be null.
Plan make_plan(const ImportedSite& imported, const WalkingMap& map, const RayCaster& caster,
               const PlanOptions& options, const Survey* measured);

}  // namespace sim
