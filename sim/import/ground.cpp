#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/import/importing.h"

namespace sim {
namespace {

/// Least height for a cell of the surface raster to be a crown: hedges and cars are lower.
constexpr double least_canopy_m = 2.5;
/// A surface raster whose lower half lies this near to zero, while the ground does not, is a raster
/// of heights above ground.
constexpr double near_zero_m = 1.0;

/// Whether the raster already counts from the ground: most of a street is open, so its low quarter
/// is the ground itself.
bool counts_from_ground(const Importing& importing, const HeightGrid& grid) {
  std::vector<double> surface, above;
  const std::size_t stride = std::max<std::size_t>(1, grid.values.size() / 20000);
  for (std::size_t i = 0; i < grid.values.size(); i += stride) {
    const auto value = static_cast<double>(grid.values[i]);
    const int row = static_cast<int>(i / static_cast<std::size_t>(grid.spec.cols));
    const int col = static_cast<int>(i % static_cast<std::size_t>(grid.spec.cols));
    const double ground =
        importing.ground_at({grid.spec.center_x_m(col), grid.spec.center_y_m(row)});
    if (std::isnan(value) || std::isnan(ground)) continue;
    surface.push_back(value);
    above.push_back(value - ground);
  }
  std::sort(surface.begin(), surface.end());
  std::sort(above.begin(), above.end());
  if (surface.empty()) return false;
  const double low_surface = surface[surface.size() / 10], low_above = above[above.size() / 10];
  return std::abs(low_surface) < near_zero_m && low_above < -near_zero_m;
}

void to_absolute(const Importing& importing, HeightGrid& grid) {
  for (int row = 0; row < grid.spec.rows; ++row) {
    for (int col = 0; col < grid.spec.cols; ++col) {
      float& value = grid.values[grid.spec.index(col, row)];
      value += static_cast<float>(
          importing.ground_at({grid.spec.center_x_m(col), grid.spec.center_y_m(row)}));
    }
  }
}

/// Marks the cells that a footprint, widened by `widen_m`, covers.
void clear_under(HeightGrid& grid, const std::vector<MapPolygon>& polygons, double widen_m) {
  const MapBounds box = bounds_of(polygons);
  const GridSpec& spec = grid.spec;
  const auto col_of = [&](double x) {
    return static_cast<int>(std::floor((x - spec.west_m) / spec.cell_x_m));
  };
  const auto row_of = [&](double y) {
    return static_cast<int>(std::floor((spec.north_m - y) / spec.cell_y_m));
  };
  for (int row = std::max(0, row_of(box.north + widen_m));
       row <= std::min(spec.rows - 1, row_of(box.south - widen_m)); ++row) {
    for (int col = std::max(0, col_of(box.west - widen_m));
         col <= std::min(spec.cols - 1, col_of(box.east + widen_m)); ++col) {
      const double x = spec.center_x_m(col), y = spec.center_y_m(row);
      bool covered = contains(polygons, {x, y});
      for (const double dx : {-widen_m, widen_m}) {
        for (const double dy : {-widen_m, widen_m})
          covered = covered || contains(polygons, {x + dx, y + dy});
      }
      if (covered) grid.values[spec.index(col, row)] = std::numeric_limits<float>::quiet_NaN();
    }
  }
}

}  // namespace

void import_ground(Importing& importing) {
  const GroundSettings& ground = importing.site.site.ground;
  if (ground.file.empty()) return;
  HeightRaster raster =
      read_heights({.path = ground.file, .band = ground.band}, importing.site.crs, importing.area);
  LayerCount count{.what = "ground", .path = ground.file, .layer = ""};
  count.read = count.used = raster.grid.values.size();
  // Cells without data along the border of a warped raster are outside of it, not holes in it.
  if (!raster.resampled && raster.nodata_cells > 0) {
    const std::size_t filled = fill_nodata(raster.grid, importing.site.crs);
    importing.site.report.ground_cells_filled = count.repaired = filled;
    importing.note(
        Severity::noted, {ground.file, "", -1}, "nodata_filled",
        std::to_string(filled) + " cells without data were filled from their neighbours");
  } else if (raster.nodata_cells > 0) {
    importing.note(Severity::noted, {ground.file, "", -1}, "nodata_kept",
                   std::to_string(raster.nodata_cells) +
                       " cells of the reprojected raster have no data and give no answer");
  }
  importing.site.ground = std::move(raster.grid);
  importing.site.vertical_datum = raster.vertical_datum;
  importing.site.report.layers.push_back(count);
}

void import_surface(Importing& importing) {
  const auto& surface = importing.site.site.surface;
  if (!surface) return;
  importing.surface_source = {surface->file, "", -1};
  HeightRaster raster = read_heights({.path = surface->file, .band = surface->band},
                                     importing.site.crs, importing.area);
  LayerCount count{.what = "surface", .path = surface->file, .layer = ""};
  count.read = count.used = raster.grid.values.size();
  importing.site.report.layers.push_back(count);
  const bool above_ground = counts_from_ground(importing, raster.grid);
  importing.note(Severity::noted, importing.surface_source, "surface_kind",
                 above_ground
                     ? "was taken as heights above ground, because its open places are near 0"
                     : "was taken as elevations");
  if (above_ground) to_absolute(importing, raster.grid);
  importing.surface = std::move(raster.grid);
  if (!surface->canopy_file.empty()) {
    HeightRaster canopy =
        read_heights({.path = surface->canopy_file, .band = 1}, importing.site.crs, importing.area);
    if (!counts_from_ground(importing, canopy.grid)) {
      // Elevations: bring them down to the ground.
      for (int row = 0; row < canopy.grid.spec.rows; ++row) {
        for (int col = 0; col < canopy.grid.spec.cols; ++col) {
          canopy.grid.values[canopy.grid.spec.index(col, row)] -=
              static_cast<float>(importing.ground_at(
                  {canopy.grid.spec.center_x_m(col), canopy.grid.spec.center_y_m(row)}));
        }
      }
    }
    importing.canopy = std::move(canopy.grid);
    importing.surface_source = {surface->canopy_file, "", -1};
  } else {
    importing.canopy = importing.surface;
    for (int row = 0; row < importing.canopy.spec.rows; ++row) {
      for (int col = 0; col < importing.canopy.spec.cols; ++col) {
        float& value = importing.canopy.values[importing.canopy.spec.index(col, row)];
        value -= static_cast<float>(importing.ground_at(
            {importing.canopy.spec.center_x_m(col), importing.canopy.spec.center_y_m(row)}));
      }
    }
  }
}

void import_canopy(Importing& importing) {
  if (importing.canopy.empty()) return;
  HeightGrid top = std::move(importing.canopy);
  for (float& value : top.values) {
    if (!(value >= static_cast<float>(least_canopy_m)))
      value = std::numeric_limits<float>::quiet_NaN();
  }
  // Walls smear over the footprint's edge by about a cell, and roofs overhang.
  const double widen_m = std::max(1.0, top.spec.cell_x_m);
  const bool crowns_alone = !importing.site.site.surface->canopy_file.empty();
  for (const BuildingRecord& building : importing.site.buildings) {
    clear_under(top, building.polygons, crowns_alone ? 0.0 : widen_m);
  }
  for (const TreeRecord& tree : importing.site.trees) {
    const double r = 0.5 * tree.crown_diameter_m + 1.0;
    MapPolygon square{.shell = {{tree.place.x - r, tree.place.y - r},
                                {tree.place.x + r, tree.place.y - r},
                                {tree.place.x + r, tree.place.y + r},
                                {tree.place.x - r, tree.place.y + r}},
                      .holes = {}};
    clear_under(top, {square}, 0.0);
  }
  for (const WoodlandRecord& wood : importing.site.woodlands) clear_under(top, wood.polygons, 0.0);
  const auto cells = static_cast<std::size_t>(
      std::count_if(top.values.begin(), top.values.end(), [](float v) { return !std::isnan(v); }));
  importing.note(Severity::noted, importing.surface_source, "canopy_cells",
                 std::to_string(cells) + " cells stand as canopy where no tree is mapped");
  if (cells > 0) importing.site.canopies.push_back({std::move(top), importing.surface_source});
}

}  // namespace sim
