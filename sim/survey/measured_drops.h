// Where the phone lost the link, as stretches of the walk.
#pragma once

#include <vector>

#include "sim/survey/survey.h"

namespace sim {

/// Rows of one run of a survey that follow each other and all dropped.
struct MeasuredDrop {
  std::string survey, run;
  std::int64_t first_row = 0, last_row = 0;
  std::optional<Xy> from, to;  ///< site CRS
  double walked_m = 0.0;       ///< between its placed rows
};

/// Not connected, or a level below the threshold; nullopt when the row says neither.
std::optional<bool> dropped(const Measurement& measurement, double drop_rsrp_dbm);

std::vector<MeasuredDrop> find_measured_drops(const std::vector<Measurement>& measurements,
                                              double drop_rsrp_dbm);

}  // namespace sim
