// A first guess that is in the right valley.
#pragma once

#include "sim/fit/robust_solve.h"

namespace sim {

/// The best fit from the site's own azimuths, and from a look round the circle for each sector: a
/// beam that points the wrong way has no slope to follow. The look round wins only where it is far
/// likelier (a cost less by 4: e^4 = 55 times).
Solved solve_from_anywhere(const LevelModel& model, const Eigen::VectorXd& site,
                           const std::vector<bool>& free, const RobustShape& shape);

}  // namespace sim
