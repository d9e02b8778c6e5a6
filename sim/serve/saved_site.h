// An edited site as files.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "sim/serve/edits.h"

namespace sim {

struct SavedSite {
  std::string file;                   ///< the new site file
  std::optional<std::string> things;  ///< GeoJSON of what was added
};

/// Writes `<name>.toml` beside the site file, and `<name>_things.geojson` when something was added;
/// opened, it gives the site that edited_site() gives. Throws InputError for a name that is not of
/// letters, digits, _ and -, a file that is there already, and a folder that cannot be written to;
/// then nothing is left behind.
SavedSite save_site(const ImportedSite& unedited, std::span<const Edit> edits,
                    const std::string& name);

}  // namespace sim
