// A site in the open Atlantic, where there is none, whose files the test writes itself.
#pragma once

#include <fmt/format.h>

#include <functional>
#include <initializer_list>
#include <string>

#include "sim/import/records.h"
#include "tests/support/temp_folder.h"

namespace sim {

/// Everything is drawn in metres east and north of this place (UTM zone 25 N).
inline constexpr double origin_x_m = 500000.0, origin_y_m = 4428236.0;

// ---- GeoJSON, piece by piece ----

inline std::string position(Xy p) {
  return fmt::format("[{},{}]", origin_x_m + p.x, origin_y_m + p.y);
}
inline std::string positions(std::initializer_list<Xy> list) {
  std::string text;
  for (const Xy p : list) text += (text.empty() ? "" : ",") + position(p);
  return "[" + text + "]";
}
inline std::string point(double x, double y) {
  return R"({"type":"Point","coordinates":)" + position({x, y}) + "}";
}
inline std::string line(std::initializer_list<Xy> list) {
  return R"({"type":"LineString","coordinates":)" + positions(list) + "}";
}
inline std::string rectangle_ring(double x, double y, double width, double depth) {
  return positions({{x, y}, {x + width, y}, {x + width, y + depth}, {x, y + depth}, {x, y}});
}
/// Rings as JSON, the first one the shell.
inline std::string polygon(const std::string& rings) {
  return R"({"type":"Polygon","coordinates":[)" + rings + "]}";
}
inline std::string rectangle(double x, double y, double width, double depth) {
  return polygon(rectangle_ring(x, y, width, depth));
}
inline std::string feature(const std::string& geometry, const std::string& properties = "{}") {
  return R"({"type":"Feature","properties":)" + properties + R"(,"geometry":)" + geometry + "}";
}

class InventedSite {
 public:
  /// A GeoJSON layer; the older form of the format names its CRS.
  std::string layer(const std::string& file, std::initializer_list<std::string> features) const {
    std::string text;
    for (const std::string& f : features) text += (text.empty() ? "" : ",\n") + f;
    return folder.write(file, R"({"type":"FeatureCollection","crs":{"type":"name","properties":)"
                              R"({"name":"urn:ogc:def:crs:EPSG::32625"}},"features":[)" +
                                  text + "]}");
  }

  /// An ASCII grid with the heights at cell centres, north-west corner and cells in metres.
  void raster(const std::string& stem, Xy north_west, double cell_m, int cols, int rows,
              const std::function<double(double, double)>& height) const {
    std::string text = fmt::format(
        "ncols {}\nnrows {}\nxllcorner {}\nyllcorner {}\ncellsize {}\nNODATA_value -9999\n", cols,
        rows, origin_x_m + north_west.x, origin_y_m + north_west.y - rows * cell_m, cell_m);
    for (int row = 0; row < rows; ++row) {
      for (int col = 0; col < cols; ++col) {
        text += fmt::format("{} ", height(north_west.x + (col + 0.5) * cell_m,
                                          north_west.y - (row + 0.5) * cell_m));
      }
      text += "\n";
    }
    folder.write(stem + ".asc", text);
    folder.write(stem + ".prj",
                 R"(PROJCS["WGS_1984_UTM_Zone_25N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",)"
                 R"(SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],)"
                 R"(UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],)"
                 R"(PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],)"
                 R"(PARAMETER["Central_Meridian",-33.0],PARAMETER["Scale_Factor",0.9996],)"
                 R"(PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]])");
  }

  /// One node "n" at the origin; the area reaches 100 m beyond the radius.
  std::string write(const std::string& sections, double radius_m = 100.0) const {
    return folder.write("site.toml", fmt::format("[site]\ncrs = \"EPSG:32625\"\n"
                                                 "[predict]\nradius_m = {}\n"
                                                 "[[node]]\nid = \"n\"\nx_m = {}\ny_m = {}\n"
                                                 "[[node.sector]]\nsector = \"a\"\n{}\n",
                                                 radius_m, origin_x_m, origin_y_m, sections));
  }
  ImportedSite import(const std::string& sections, bool strict = false) const {
    return import_site(read_site(write(sections)), strict);
  }

  TempFolder folder;
};

/// The line of the report about one kind of thing.
inline const LayerCount& counted(const ImportReport& report, const std::string& what) {
  for (const LayerCount& layer : report.layers) {
    if (layer.what == what) return layer;
  }
  throw std::runtime_error("no layer of " + what);
}

inline std::size_t issues(const ImportReport& report, const std::string& code) {
  std::size_t count = 0;
  for (const Issue& issue : report.issues) count += issue.code == code ? 1U : 0U;
  return count;
}

}  // namespace sim
