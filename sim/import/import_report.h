// What was read, used, repaired, defaulted and dropped, record by record.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "sim/base/input_error.h"

namespace sim {

enum class Severity { noted, defaulted, repaired, dropped };
std::string_view to_string(Severity severity);

struct Issue {
  Severity severity;
  SourceRef where;
  std::string code;     ///< a stable word: "ring_repaired", "height_default", …
  std::string message;  ///< what is wrong and what was done
};

struct LayerCount {
  std::string what;  ///< buildings, poles, trees, …
  std::string path, layer;
  std::size_t read = 0, used = 0, repaired = 0, defaulted = 0, dropped = 0;
  std::size_t outside = 0;  ///< not in the area of the site
};

struct ImportReport {
  std::vector<LayerCount> layers;
  std::vector<Issue> issues;
  std::size_t ground_cells_filled = 0;
};

}  // namespace sim
