// The columns of an explained point, the same in explained.csv and in the layer `explained`.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "sim/explain/explanation.h"

namespace sim {

struct ExplainedColumn {
  std::string name;
  bool is_number = true;
  std::function<std::string(const Scene&, const ExplainedPoint&)> cell;  ///< empty = not known
};

/// In the order of the contract.
const std::vector<ExplainedColumn>& explained_columns();

}  // namespace sim
