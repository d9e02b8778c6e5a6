#include "sim/fit/information_growth.h"

#include <Eigen/LU>

namespace sim {

InformationGrowth::InformationGrowth(const Eigen::MatrixXd& known)
    : known_(known), spread_(known.inverse()) {}

void InformationGrowth::add(const Eigen::VectorXd& slopes) {
  known_ += slopes * slopes.transpose();
  spread_ = known_.inverse();
}

}  // namespace sim
