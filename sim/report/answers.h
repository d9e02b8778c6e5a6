// Writes every answer in the files of the contract.
#pragma once

#include <string>

#include "sim/explain/explanation.h"
#include "sim/gis/crs.h"
#include "sim/import/records.h"
#include "sim/predict/prediction.h"

namespace sim {

/// What every file is stamped with.
struct Stamp {
  std::string version;  ///< of the program
  std::string site_name, site_file;
};

void write_receivers_csv(const std::string& path, const Scene& scene, const Crs& crs,
                         const ReceiverAnswers& answers);
void write_explained_csv(const std::string& path, const Scene& scene, const Crs& crs,
                         const Explanation& explanation);

}  // namespace sim
