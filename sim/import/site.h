// The site file: every setting a user may write, with its default, as one value.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/base/input_error.h"
#include "sim/base/receiver_context.h"
#include "sim/base/units.h"

namespace sim {

/// A number written in the site file, or the name of a field that holds it.
using ValueOrField = std::variant<std::monostate, double, std::string>;

struct GroundSettings {
  std::string file;  ///< empty = flat
  int band = 1;
  double elevation_m = 0.0;
  SourceRef where;
};
struct SurfaceSettings {
  std::string file;  ///< roofs and crowns: absolute elevation, or already above ground
  int band = 1;
  std::string canopy_file;  ///< crowns alone, above ground; empty = taken from `file`
  SourceRef where;
};
struct BuildingLayer {
  std::string file, layer, filter;  ///< filter = `where`, OGR SQL
  std::string height_field, levels_field, base_field;
  std::optional<double> default_height_m;
  std::string material;  ///< empty = the default of assets/defaults.csv
  SourceRef where;
};
struct PoleLayer {
  std::string file, layer, filter;
  std::string height_field, diameter_field;
  double default_height_m = 8.0, default_diameter_m = 0.2;
  SourceRef where;
};
struct TreeLayer {
  std::string file, layer, filter;
  std::string height_field, crown_diameter_field, species_field;
  double default_height_m = 8.0, default_crown_diameter_m = 5.0;
  std::string species_class;  ///< "broadleaf" or "conifer"
  SourceRef where;
};
struct ObjectLayer {
  std::string file, layer, filter;
  std::string
      kind;  ///< car van truck bus sign fence wall hoarding kiosk person; empty = field `kind`
  ValueOrField length_m, width_m, height_m, heading_deg;
  SourceRef where;
};
struct MeshFile {
  std::string file;
  std::optional<double> lon, lat, x_m, y_m;  ///< of the mesh's own origin
  std::optional<double> elevation_m;         ///< missing = on the ground
  double heading_deg = 0.0;
  std::string material;
  SourceRef where;
};
struct PointCloudFile {
  std::string file;
  double offset_x_m = 0.0, offset_y_m = 0.0, offset_z_m = 0.0;  ///< added to reach `crs`
  std::string crs;                                              ///< of file + offset; empty = site
  double voxel_m = 0.5;
  SourceRef where;
};
struct StreetSettings {
  std::string file, layer, filter, name_field = "name";
  SourceRef where;
};
struct SectorSettings {
  std::string sector;
  double azimuth_deg = 0.0, downtilt_deg = 0.0;
  double frequency_ghz = 28.0, bandwidth_mhz = 100.0;
  int carriers = 1;
  std::optional<double> eirp_dbm;  ///< of all carriers together; missing = assets/defaults.csv
  std::string pattern = "3gpp-element";
  std::string polarization = "vertical";
  int rows = 0, cols = 0;                   ///< of a 3gpp-array; 0 = assets/defaults.csv
  std::optional<double> broadcast_gain_db;  ///< broadcast beam over data beam, <= 0
  SourceRef where;
};
struct NodeSettings {
  std::string id;
  std::optional<double> lon, lat, x_m, y_m;
  double height_agl_m = 8.0;
  std::vector<SectorSettings> sectors;
  SourceRef where;
};
struct NodesSettings {
  std::string file;
  std::vector<NodeSettings> inline_nodes;
  SourceRef where;
};

struct ReceiverSettings {
  double height_agl_m = 1.5;
  std::optional<double> gain_dbi, noise_figure_db;  ///< missing = assets/defaults.csv
  ReceiverContext context = ReceiverContext::outdoor;
  Facing facing;
  Housing housing;
};
struct SurveySettings {
  std::string file;
  std::map<std::string, std::string> columns;  ///< our name → the file's name
  std::optional<ReceiverContext> context;
  std::string time_zone = "UTC", node, note;
  std::string place;      ///< name of the one place of the whole file, where its rows name none
  std::string addresses;  ///< points that give rows with an `address` their place
  std::string track;      ///< GPX that gives rows without a position theirs, by time
  SourceRef where;
};
struct PredictSettings {
  double spacing_m = 2.0;
  double radius_m = 400.0;
  std::map<std::string, std::string> models;
  int reflections = 0;
  std::map<std::string, double> thresholds;  ///< hold_rsrp_dbm, drop_rsrp_dbm, …
  std::optional<double> confidence;
  SourceRef where;
};
/// Features that a plan keeps off, or parks on.
struct PlanLayer {
  std::string file, layer, filter;
  SourceRef where;
};
struct PlanSettings {
  double step_m = 30.0;
  std::optional<int> count;  ///< the most telling ones alone; missing = every step
  double reach_m = 400.0;
  std::vector<std::string> controls;                      ///< pairs, off_side, in_car, informative
  std::vector<std::pair<double, double>> control_points;  ///< lon, lat: places wanted besides
  std::vector<std::pair<double, double>> route_start;     ///< lon, lat; at most one
  std::vector<PlanLayer> avoid;    ///< areas where nobody stands: water, rails, private land
  std::vector<PlanLayer> parking;  ///< where a car may legally stand
  std::string addresses;           ///< points with house numbers, as landmarks
  SourceRef where;
};

struct Bounds {
  double west_deg, south_deg, east_deg, north_deg;
};

struct Site {
  std::string file;    ///< the site file
  std::string folder;  ///< the folder that its paths are relative to
  std::string name;
  std::string crs = "auto";
  std::optional<Bounds> bounds;
  bool leaf_on = true;
  double rain_mm_per_h = 0.0;
  std::optional<double> temperature_c, pressure_hpa, water_vapour_g_m3;  ///< missing = defaults
  int max_features = 2'000'000;      ///< a layer with more is refused
  std::vector<std::string> credits;  ///< whom the data asks to be named, shown on what is published
  std::vector<std::string> leave_out;  ///< records that are not there: "lamps.geojson:lamps:12"
  GroundSettings ground;
  std::optional<SurfaceSettings> surface;
  std::vector<BuildingLayer> buildings;
  std::vector<PoleLayer> poles;
  std::vector<TreeLayer> trees;
  std::vector<ObjectLayer> objects;
  std::vector<MeshFile> meshes;
  std::vector<PointCloudFile> point_clouds;
  std::optional<StreetSettings> streets;
  NodesSettings nodes;
  ReceiverSettings receiver;
  std::vector<SurveySettings> surveys;
  PredictSettings predict;
  PlanSettings plan;
};

/// Reads SITE.toml, or site.toml in the folder given. File paths come back resolved against the
/// site file. Throws InputError with "line L, column C" for TOML that does not parse, an unknown
/// key (with the nearest known one), a value of the wrong type or out of range, or no [nodes].
Site read_site(const std::string& path);

}  // namespace sim
