// Streets as a walker sees them: which may be walked, and how wide the carriageway is.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sim/import/records.h"
#include "sim/scene/scene.h"

namespace sim {

enum class WidthFrom : std::uint8_t { record, lanes, fallback };
std::string_view to_string(WidthFrom from);

struct WalkerStreet {
  std::string id, name;
  std::vector<Xy> line;         ///< east and north in the scene
  bool for_feet_alone = false;  ///< the line is the footway itself
  bool walkable = true;         ///< false: no place for people (motorway, private, being built)
  bool bridge = false;
  double half_width_m = 0.0;  ///< of the carriageway; 0 where only feet go
  WidthFrom width_from = WidthFrom::fallback;
};
std::string name_of(const WalkerStreet& way);  ///< a way without a name goes by its id

/// Every street of the site in scene axes. Widths: the record's, else lanes times a lane's width,
/// else by class (street_width_* of assets/defaults.csv).
std::vector<WalkerStreet> ways_of(const ImportedSite& imported, const Scene& scene);

}  // namespace sim
