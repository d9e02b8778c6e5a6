// Where to measure next, so that what cannot be told apart can be.
#pragma once

#include "sim/fit/identify.h"

namespace sim {

/// A place that tells most about the unknowns.
struct PointToMeasure {
  ScenePoint place;  ///< the phone
  std::string street;
  NodeIndex node = 0;  ///< that serves it
  double distance_m = 0.0;
  Angle azimuth;  ///< from the node
};

struct NextPoints {
  std::vector<PointToMeasure> points;
  /// Standard deviation of each unknown once they are measured, by the spread of the rows so far
  /// alone; infinite for those that would still be held.
  Eigen::VectorXd deviations_after;
};

struct NextPointOptions {
  std::size_t least = 2, most = 6;
};

/// Chooses one after the other, each the place that adds most to log det of the information
/// (D-optimal), from places every 10 m along the streets, or on a grid where there are none, that
/// the model says can be measured. Chosen as if unknowns had
/// their plausible spread before any row. Stops when
/// all of `wanted` are known.
NextPoints next_points(const RayCaster& caster, const LevelModel& model,
                       const Eigen::VectorXd& values, const Eigen::MatrixXd& information,
                       double scale, const std::vector<std::size_t>& wanted,
                       const ObservationOptions& tracing, const NextPointOptions& options);

}  // namespace sim
