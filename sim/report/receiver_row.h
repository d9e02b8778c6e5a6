// A row of receivers.csv, cell by cell: the same text in the file and in the report page.
#pragma once

#include <string>
#include <vector>

#include "sim/gis/crs.h"
#include "sim/predict/prediction.h"

namespace sim {

/// The columns of the contract and those that follow them.
const std::vector<std::string>& receiver_columns();

/// Writes rows of one scene. Not for use by two threads.
class ReceiverCells {
 public:
  explicit ReceiverCells(const Scene& scene);
  std::vector<std::string> operator()(const ReceiverRow& row) const;

 private:
  const Scene& scene_;
  CrsTransform to_degrees_;
};

}  // namespace sim
