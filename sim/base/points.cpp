#include "sim/base/points.h"

namespace sim {

Angle SceneFrame::true_azimuth(ScenePoint from, ScenePoint to) const {
  const double grid = std::atan2(to.x_m - from.x_m, to.y_m - from.y_m);
  const double turned = (Angle::radians(grid) + convergence_at(from)).degrees();
  const double wrapped = std::fmod(turned, 360.0);
  return Angle::degrees(wrapped < 0.0 ? wrapped + 360.0 : wrapped);
}

ScenePoint SceneFrame::direction(Angle true_azimuth, ScenePoint at) const {
  const double grid = (true_azimuth - convergence_at(at)).radians();
  return {std::sin(grid), std::cos(grid), 0.0};
}

}  // namespace sim
