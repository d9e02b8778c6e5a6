// Taking things out of a site by the record they came from.
#pragma once

#include <string>

#include "sim/import/records.h"

namespace sim {

/// A record as the site's folder sees it: "lamps.geojson:lamps:12". A file outside the folder goes
/// by its name alone.
std::string source_in_site(const Site& site, const SourceRef& source);

/// Takes out what came from a record, named as source_in_site() or to_string() names it: buildings,
/// poles, trees, woodland, canopy, objects, meshes and point clouds. How many; 0 = there is none.
std::size_t take_out(ImportedSite& imported, const std::string& source);

/// "; did you mean 'lamps.geojson:lamps:12'?" of the records that take_out() knows; empty where
/// none is near.
std::string nearest_source(const ImportedSite& imported, const std::string& source);

}  // namespace sim
