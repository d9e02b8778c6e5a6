// Checked records in the site CRS, each with where it came from. No scene yet: heights are above
// ground unless the name says elevation.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "sim/base/antenna.h"
#include "sim/base/assets.h"
#include "sim/base/grid.h"
#include "sim/base/input_error.h"
#include "sim/base/points.h"
#include "sim/gis/crs.h"
#include "sim/import/import_report.h"
#include "sim/import/site.h"

namespace sim {

/// An open ring (first point not repeated) in the site CRS.
using MapRing = std::vector<Xy>;
struct MapPolygon {
  MapRing shell;               ///< counter-clockwise
  std::vector<MapRing> holes;  ///< clockwise
};

enum class HeightSource { tagged, levels, surface, neighbours, fallback };
std::string_view to_string(HeightSource source);

struct BuildingRecord {
  std::string id;  ///< OSM id or the record number
  std::vector<MapPolygon> polygons;
  double height_m = 0.0;      ///< roof above the base (lowest ground under the footprint)
  double min_height_m = 0.0;  ///< > 0: open below
  std::optional<double> base_elevation_m;  ///< from base_field
  HeightSource height_source = HeightSource::fallback;
  std::string material;  ///< name in assets/materials.csv
  SourceRef source;
};
struct PoleRecord {
  std::string id;
  Xy place;
  double height_m = 8.0, diameter_m = 0.2;
  bool height_defaulted = true;
  SourceRef source;
};
struct TreeRecord {
  std::string id;
  Xy place;
  double height_m = 8.0, crown_diameter_m = 5.0;
  bool height_defaulted = true;
  std::string species_class;  ///< broadleaf | conifer
  SourceRef source;
};
/// A polygon of trees: one closed canopy.
struct WoodlandRecord {
  std::string id;
  std::vector<MapPolygon> polygons;
  double height_m = 8.0;
  std::string species_class;
  SourceRef source;
};
enum class ObjectKind { car, van, truck, bus, sign, fence, wall, hoarding, kiosk, person };
std::string_view to_string(ObjectKind kind);

/// A box at a point, a thin wall along a line, or a prism on a polygon.
struct ObjectRecord {
  std::string id;
  ObjectKind kind = ObjectKind::car;
  std::optional<Xy> place;  ///< centre of a box
  std::vector<std::vector<Xy>> lines;
  std::vector<MapPolygon> polygons;
  double length_m = 0.0, width_m = 0.0, height_m = 0.0;
  double base_m = 0.0;  ///< bottom above ground (a sign on legs)
  Angle heading;        ///< of the long axis, clockwise from true north
  std::string material;
  SourceRef source;
};
struct MeshRecord {
  std::string path;
  Xy place;
  std::optional<double> elevation_m;
  Angle heading;
  std::string material;
  SourceRef source;
};
struct PointCloudRecord {
  std::string path;
  MapPoint offset;
  std::optional<Crs> crs;  ///< of the file plus offset; nullopt = the site's
  double voxel_m = 0.5;
  SourceRef source;
};
struct StreetRecord {
  std::string id, name;
  std::vector<Xy> line;
  SourceRef source;
  std::string highway;            ///< class as OpenStreetMap words it; empty = not told
  std::optional<double> width_m;  ///< of the carriageway, kerb to kerb
  std::optional<int> lanes;
  bool bridge = false;          ///< or on a layer of its own: crosses others without meeting them
  bool closed_on_foot = false;  ///< the record forbids it
};
/// Canopy seen by the surface raster where neither a building nor a tree is mapped.
struct CanopyRecord {
  HeightGrid top;  ///< canopy top above ground, metres; NaN = no canopy
  SourceRef source;
};
struct SectorRecord {
  std::string id, pattern, polarization;
  Angle azimuth, downtilt;
  Frequency frequency;
  double bandwidth_mhz = 100.0;
  int carriers = 1;
  Dbm eirp;
  std::shared_ptr<const AntennaTable> table;  ///< when the pattern is a file
  int rows = 0, cols = 0;                     ///< of a 3gpp-array; 0 = assets/defaults.csv
  std::optional<Db> broadcast_gain;           ///< of the broadcast beam's peak over the data beam's
  SourceRef source;
};
struct NodeRecord {
  std::string id;
  Xy place;
  double height_agl_m = 8.0;
  std::vector<SectorRecord> sectors;
  SourceRef source;
};

/// A row of assets/materials.csv: eps' = a f^b, sigma = c f^d S/m with f in GHz (P.2040).
struct MaterialRecord {
  std::string name;
  double a = 1.0, b = 0.0, c = 0.0, d = 0.0;
  double min_ghz = 0.0, max_ghz = 0.0;
  std::string source;
};

/// Everything the site file leads to, ready to be stood up.
struct ImportedSite {
  Site site;
  Crs crs = Crs::wgs84();  ///< projected, metres
  std::string vertical_datum;
  Angle convergence;  ///< at the middle of the area
  /// Its change eastward and northward, radians per metre.
  double convergence_east_per_m = 0.0, convergence_north_per_m = 0.0;
  MapPoint middle;  ///< middle of the area; z = mean ground elevation
  double area_west_m = 0.0, area_south_m = 0.0, area_east_m = 0.0, area_north_m = 0.0;
  HeightGrid ground;  ///< empty = flat at site.ground.elevation_m
  std::vector<BuildingRecord> buildings;
  std::vector<PoleRecord> poles;
  std::vector<TreeRecord> trees;
  std::vector<WoodlandRecord> woodlands;
  std::vector<CanopyRecord> canopies;
  std::vector<ObjectRecord> objects;
  std::vector<MeshRecord> meshes;
  std::vector<PointCloudRecord> point_clouds;
  std::vector<StreetRecord> streets;
  std::vector<NodeRecord> nodes;
  std::vector<MaterialRecord> materials;  ///< all of assets/materials.csv
  Defaults defaults;                      ///< assets/defaults.csv, overridden by the site file
  ImportReport report;
};

/// Reads every file the site names. Throws InputError for what cannot be used at all; single bad
/// records are dropped or repaired and reported, or with `strict` thrown too.
ImportedSite import_site(const Site& site, bool strict = false);

/// Points to answer for (`--at`): any vector file, or CSV with lon,lat or x_m,y_m (site CRS).
struct AtPoint {
  std::string id;
  Xy place;
  std::optional<double> height_agl_m;
  std::optional<ReceiverContext> context;
  std::optional<Facing> facing;
  SourceRef source;
};
std::vector<AtPoint> read_points(const std::string& path, const Crs& site_crs);

}  // namespace sim
