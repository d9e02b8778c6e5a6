// Whom a published map has to name.
#pragma once

#include <string>
#include <vector>

#include "sim/import/records.h"
#include "sim/scene/scene.h"

namespace sim {

/// OpenStreetMap's contributors where a record of theirs stands in the scene or a layer was read
/// from a file of theirs, then what `[site] credits` names.
std::vector<std::string> data_credits(const ImportedSite& imported, const Scene& scene);

}  // namespace sim
