// Which node and loss values the measurements support.
#pragma once

#include <functional>
#include <optional>

#include "sim/fit/cross_validation.h"
#include "sim/fit/identify.h"
#include "sim/fit/next_points.h"
#include "sim/fit/position_search.h"

namespace sim {

struct FitOptions {
  double radius_m = 400.0, receiver_height_agl_m = 1.5;
  bool eirp_per_sector = false;
  std::optional<NodeIndex> search_position;  ///< of this node, along poles
  double search_reach_m = 100.0;             ///< of a row
};

struct FittedValue {
  Unknown unknown;
  double value = 0.0;
  double low = 0.0, high = 0.0;  ///< NaN when held
  std::optional<Held> held;
  bool at_bound = false;
};

/// One survey row, as the fit saw it.
struct FitRow {
  std::size_t measurement = 0;
  Evidence evidence = Evidence::level;
  NodeIndex node = 0;  ///< that serves it after the fit
  std::uint32_t sector = 0;
  Angle azimuth;  ///< of the place, from the node
  double sigma_db = 0.0, weight = 0.0;
  double counts = 1.0;  ///< share with which it counts: 0 = far off everything else
  double before_dbm = 0.0, after_dbm = 0.0;
  double unseen_residual_db = 0.0;  ///< by a fit without its place; NaN for connected and lost
};

struct SurveyFit {
  std::vector<Node> site_nodes;  ///< before
  std::vector<FittedValue> values;
  std::vector<FitRow> rows;
  std::vector<LeftOut> left_out;
  std::size_t levels = 0, bounds = 0;  ///< rows of each kind
  double effective_rows = 0.0;         ///< independent rows that the level rows are worth
  double residual_scale = 1.0;         ///< of residuals over the sigma stated
  double confidence = 0.9;
  FitError before, after;
  CrossValidation unseen;
  NextPoints next;
  std::vector<std::size_t> wanted;  ///< unknowns that the next points are to tell
  std::optional<PositionSearch> position;
};

/// Fits the survey. `scene` is the caster's; its nodes come back with the fitted sectors and, where
/// a search moved one, at its new place. Throws InputError at `where` when no row can be used.
SurveyFit fit_survey(Scene& scene, const RayCaster& caster, const Survey& survey,
                     const SourceRef& where, const FitOptions& options);

}  // namespace sim
