// The tables that come with the program, as values.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "sim/import/records.h"

namespace sim {

std::vector<MaterialRecord> read_materials();  ///< assets/materials.csv
Defaults read_defaults();                      ///< assets/defaults.csv

/// Default sizes of one kind of object: assets/objects.csv.
struct ObjectSize {
  double length_m = 0.0, width_m = 0.0, height_m = 0.0, base_m = 0.0;
  std::string material;
};
std::map<std::string, ObjectSize> read_object_sizes();

}  // namespace sim
