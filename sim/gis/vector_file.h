// Features in, features out, for every vector format on the allow-list.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/base/input_error.h"
#include "sim/gis/crs.h"

namespace sim {

struct Coordinate {
  double x = 0.0, y = 0.0;
  double z = 0.0;  ///< NaN where the file has none
};
using CoordinateList = std::vector<Coordinate>;

struct PointSet {
  CoordinateList points;
};
struct LineSet {
  std::vector<CoordinateList> lines;
};
/// Rings are closed (last = first) as in OGC simple features; the first ring is the shell.
struct PolygonShape {
  std::vector<CoordinateList> rings;
};
struct PolygonSet {
  std::vector<PolygonShape> polygons;
};
using Geometry = std::variant<std::monostate, PointSet, LineSet, PolygonSet>;

struct Feature {
  SourceRef source;  ///< file : layer : feature id
  Geometry geometry;
  std::vector<std::optional<std::string>> values;  ///< parallel to VectorTable::fields
};

struct VectorTable {
  std::string path;
  std::vector<std::string> layers;  ///< those read
  std::vector<std::string> fields;
  std::vector<Feature> features;  ///< in file order; OSM in order of id
  /// Column of a field, matched without case; nullopt when there is none.
  std::optional<std::size_t> field(const std::string& name) const;
};

struct VectorQuery {
  std::string path;
  std::string layer;  ///< empty = the only layer, or every layer that fits
  std::string where;  ///< OGR SQL WHERE, empty = all
  std::optional<Crs>
      assume;  ///< CRS of a file that states none (CSV); otherwise such a file is refused
  std::size_t max_features = 50'000'000;  ///< more is refused
};

/// Reads features into `target`. Drivers: GPKG, GeoJSON, ESRI Shapefile, FlatGeobuf, OSM, CSV, GPX,
/// KML, LIBKML, GML/CityGML, SQLite. Throws InputError for a missing, unreadable or truncated file,
/// no CRS, an unknown layer, a WHERE that OGR cannot parse, coordinates that cannot be on Earth or
/// that only fit with latitude and longitude swapped. A layer without features gives an empty
/// table.
VectorTable read_vectors(const VectorQuery& query, const Crs& target);

/// A CSV as points: lon and lat in WGS 84, or x_m and y_m in the target CRS (also longitude,
/// latitude, x, y, easting, northing). Rows without a position have no geometry. read_vectors()
/// uses it for files that end in .csv. Throws InputError when no pair of columns is found.
VectorTable read_csv_points(const VectorQuery& query, const Crs& target);

/// Bounds over all features in WGS 84 degrees (west, south, east, north); nullopt for no features.
struct LonLatBounds {
  double west_deg = 0.0, south_deg = 0.0, east_deg = 0.0, north_deg = 0.0;
};
std::optional<LonLatBounds> lonlat_bounds(const VectorQuery& query);

/// The polygon made valid (GEOS through OGR); nullopt when nothing with an area is left.
/// `reason` receives why it was invalid, empty when it was valid already.
std::optional<PolygonSet> repaired(const PolygonSet& polygons, std::string& reason);

// ---- writing ----

using FieldValue = std::variant<std::monostate, std::string, double, std::int64_t>;
struct OutputFeature {
  Geometry geometry;
  std::vector<FieldValue> values;
};
struct OutputField {
  std::string name;
  enum class Type { text, real, integer } type = Type::real;
};
struct OutputLayer {
  std::string name;
  enum class Shape { none, point, line, polygon } shape = Shape::point;
  std::vector<OutputField> fields;
  std::vector<OutputFeature> features;
};

/// Writes all layers to a new GeoPackage, in the site CRS, byte for byte the same each time.
void write_geopackage(const std::string& path, const Crs& crs,
                      const std::vector<OutputLayer>& layers);

}  // namespace sim
