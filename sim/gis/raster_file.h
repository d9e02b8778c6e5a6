// Rasters in and out.
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "sim/base/grid.h"
#include "sim/gis/crs.h"
#include "sim/gis/vector_file.h"

namespace sim {

struct RasterQuery {
  std::string path;
  int band = 1;
};

/// Axis-parallel box in a CRS.
struct MapBounds {
  double west = 0.0, south = 0.0, east = 0.0, north = 0.0;
};

struct HeightRaster {
  HeightGrid grid;
  std::size_t nodata_cells = 0;  ///< inside the box, before any filling
  std::string vertical_datum;    ///< as the file states it, or "not stated"
  bool resampled = false;        ///< true when the file was in another CRS or not north-up
};

/// Bounds of a raster in WGS 84.
LonLatBounds raster_lonlat_bounds(const RasterQuery& query);

/// Reads the cells within `box` (in `target`); a raster in another CRS is warped to `target`,
/// bilinear, at about its own cell size. Feet are turned into metres where the band says so. Throws
/// InputError for a missing, unreadable or truncated file, no CRS, a band that is not there, a
/// colour or classified raster (palette, RGB, complex) where heights are asked for, or no overlap.
HeightRaster read_heights(const RasterQuery& query, const Crs& target, const MapBounds& box);

/// Fills cells without data inside the grid from their neighbours (GDAL fill, inverse distance).
/// Returns how many were filled.
std::size_t fill_nodata(HeightGrid& grid, const Crs& crs);

/// Writes a Cloud-Optimised GeoTIFF of float32 bands, NaN nodata, band descriptions = names.
void write_cog(const std::string& path, const Crs& crs, const GridSpec& spec,
               const std::vector<Band>& bands,
               const std::vector<std::pair<std::string, std::string>>& metadata);

/// Contour lines of one band at the given levels, in the site CRS.
struct Contour {
  double level = 0.0;
  LineSet lines;
};
std::vector<Contour> contours(const GridSpec& spec, const Band& band,
                              const std::vector<double>& levels);

/// Versions of the libraries behind this room, for `--version`: {"GDAL", "3.6.2"}, …
std::vector<std::pair<std::string, std::string>> gis_versions();

}  // namespace sim
