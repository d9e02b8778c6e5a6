// The work of import_site(), one function per kind of record. Only for the sources of this room.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "sim/gis/raster_file.h"
#include "sim/import/map_geometry.h"
#include "sim/import/records.h"

namespace sim {

/// What the importers share: the site being filled, the area wanted, and how strict to be.
struct Importing {
  ImportedSite& site;
  MapBounds area;
  bool strict = false;
  HeightGrid surface;  ///< absolute; empty without [surface]
  HeightGrid canopy;   ///< above ground; empty without
  SourceRef surface_source;

  /// Records an issue; with strict, a dropped or repaired record ends the run.
  void note(Severity severity, const SourceRef& where, const std::string& code,
            const std::string& message);
  double ground_at(Xy place) const;  ///< NaN outside the raster
};

/// The CRS to work in, and the nodes placed in it.
Crs choose_crs(const Site& site);
std::vector<NodeRecord> import_nodes(const Site& site, const Crs& crs, const Defaults& defaults,
                                     ImportReport& report);
MapBounds area_of(const Site& site, const Crs& crs, const std::vector<NodeRecord>& nodes);

void import_ground(Importing& importing);
void import_surface(Importing& importing);
void import_buildings(Importing& importing);
void import_poles(Importing& importing);
void import_trees(Importing& importing);
void import_objects(Importing& importing);
void import_streets(Importing& importing);
void import_canopy(Importing& importing);  ///< after them: what is mapped is not canopy
/// Takes out what [site] leave_out names. Last, as if it were carried off from the finished map.
void leave_out(Importing& importing);

/// What a building gets when nothing tells its height, and where that is counted.
struct HeightFallback {
  double height_m = 0.0;
  std::size_t count = 0;  ///< index into report.layers
};
/// Gives every building without a height one, in the order of the contract.
void complete_heights(Importing& importing, std::vector<BuildingRecord>& buildings,
                      const std::vector<HeightFallback>& fallbacks);

// ---- reading a layer ----

struct LayerAsk {
  std::string what;  ///< "buildings": for counts and messages
  std::string file, layer, filter;
  std::string osm_filter;  ///< used on OSM files when `filter` is empty
  SourceRef where;         ///< the section of the site file
};

/// A layer's features inside the area, and its line in the report. Throws InputError for an empty
/// layer.
struct LayerRead {
  VectorTable table;
  std::size_t count = 0;  ///< index into report.layers
};
LayerRead read_layer(Importing& importing, const LayerAsk& ask);

/// Column of a field named in the site file; InputError with the nearest name when it is not there.
std::size_t named_field(const VectorTable& table, const std::string& field, const SourceRef& where);
/// Column of the field if named, else the first of the usual names that exists.
std::optional<std::size_t> field_or(const VectorTable& table, const std::string& field,
                                    std::initializer_list<const char*> usual,
                                    const SourceRef& where);

/// The feature's own name for itself: id, osm id with its kind, name; else layer/record.
std::string feature_id(const VectorTable& table, const Feature& feature);

/// Text of a column, empty when null or no such column.
std::string text_of(const Feature& feature, std::optional<std::size_t> column);

/// A positive length of a feature of the layer read last; an unreadable one is left out, noted and
/// counted as repaired. Throws InputError for a negative one.
std::optional<double> length_of(Importing& importing, const Feature& feature,
                                std::optional<std::size_t> column, const std::string& name);

}  // namespace sim
