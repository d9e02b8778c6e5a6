#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal_alg.h>
#include <gdal_priv.h>
#include <gdal_utils.h>
#include <gdalwarper.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/gis/gdal_session.h"
#include "sim/gis/raster_file.h"

namespace sim {
namespace {

constexpr double max_cells = 4e8;  // 1.6 GB of float32

using DatasetPtr = std::unique_ptr<GDALDataset>;

DatasetPtr open_raster(const RasterQuery& query) {
  start_gdal();
  const GdalComplaints complaints;
  VSIStatBufL status;
  const SourceRef where{query.path, "", -1};
  if (VSIStatL(query.path.c_str(), &status) != 0) {
    throw InputError(where,
                     "no such file; check the path, which is taken from the folder of the "
                     "site file");
  }
  DatasetPtr dataset(GDALDataset::Open(query.path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY,
                                       raster_drivers().data(), nullptr, nullptr));
  if (!dataset) {
    throw InputError(where, "cannot be read as a raster" +
                                (complaints.text().empty() ? "" : " (" + complaints.text() + ")") +
                                "; GeoTIFF, SRTM .hgt and ASCII grid are");
  }
  return dataset;
}

Crs crs_of(GDALDataset& dataset, const SourceRef& where) {
  const OGRSpatialReference* srs = dataset.GetSpatialRef();
  if (srs == nullptr || srs->IsEmpty()) {
    throw InputError(where,
                     "states no coordinate reference system; add one, for an ASCII grid as a "
                     ".prj file beside it");
  }
  char* wkt = nullptr;
  srs->exportToWkt(&wkt);
  const std::string text = wkt == nullptr ? "" : wkt;
  CPLFree(wkt);
  return Crs::parse(text, where);
}

GDALRasterBand& height_band(GDALDataset& dataset, const RasterQuery& query) {
  const SourceRef where{query.path, "band " + std::to_string(query.band), -1};
  if (query.band < 1 || query.band > dataset.GetRasterCount()) {
    throw InputError(where,
                     "no such band; the file has " + std::to_string(dataset.GetRasterCount()));
  }
  GDALRasterBand& band = *dataset.GetRasterBand(query.band);
  const GDALColorInterp colour = band.GetColorInterpretation();
  const bool photo = colour == GCI_RedBand || colour == GCI_GreenBand || colour == GCI_BlueBand ||
                     (dataset.GetRasterCount() >= 3 && band.GetRasterDataType() == GDT_Byte);
  if (band.GetColorTable() != nullptr || photo || GDALDataTypeIsComplex(band.GetRasterDataType())) {
    throw InputError(where,
                     "holds colours or classes, not heights; name a terrain raster in metres");
  }
  double transform[6];
  if (dataset.GetGeoTransform(transform) != CE_None) {
    throw InputError(where, "is not georeferenced; a terrain raster with a position is needed");
  }
  return band;
}

double metres_per_unit(GDALRasterBand& band) {
  const std::string unit = band.GetUnitType() == nullptr ? "" : band.GetUnitType();
  if (EQUAL(unit.c_str(), "ft") || EQUAL(unit.c_str(), "foot")) return 0.3048;
  if (unit.find("US survey foot") != std::string::npos || EQUAL(unit.c_str(), "us-ft")) {
    return 1200.0 / 3937.0;  // US survey foot, exact by definition
  }
  return 1.0;
}

/// Cells within the box as they stand, for a north-up raster in the target CRS.
HeightGrid cut(GDALRasterBand& band, const double* t, const MapBounds& box,
               const SourceRef& where) {
  constexpr int margin_cells = 2;
  const auto clamp = [](double v, int limit) {
    return static_cast<int>(std::clamp(v, 0.0, static_cast<double>(limit)));
  };
  const double cell_y = -t[5];
  const int c0 = clamp(std::floor((box.west - t[0]) / t[1]) - margin_cells, band.GetXSize());
  const int c1 = clamp(std::ceil((box.east - t[0]) / t[1]) + margin_cells, band.GetXSize());
  const int r0 = clamp(std::floor((t[3] - box.north) / cell_y) - margin_cells, band.GetYSize());
  const int r1 = clamp(std::ceil((t[3] - box.south) / cell_y) + margin_cells, band.GetYSize());
  if (c1 - c0 < 2 || r1 - r0 < 2) {
    throw InputError(where, "does not cover the site; check its CRS and extent");
  }
  if (static_cast<double>(c1 - c0) * (r1 - r0) > max_cells) {
    throw InputError(where,
                     "has too many cells in the area; give [site] bounds or a coarser raster");
  }
  HeightGrid grid;
  grid.spec = {t[0] + c0 * t[1], t[3] - r0 * cell_y, t[1], cell_y, c1 - c0, r1 - r0};
  grid.values.resize(grid.spec.size());
  const GdalComplaints complaints;
  if (band.RasterIO(GF_Read, c0, r0, c1 - c0, r1 - r0, grid.values.data(), c1 - c0, r1 - r0,
                    GDT_Float32, 0, 0, nullptr) != CE_None) {
    throw InputError(where, "breaks off while being read (" + complaints.text() +
                                "); the file is damaged or cut short: get it again");
  }
  return grid;
}

/// The raster warped to the target CRS over the box, bilinear, at about its own cell size.
DatasetPtr warped(GDALDataset& dataset, const Crs& target, const MapBounds& box,
                  const RasterQuery& query) {
  const SourceRef where{query.path, "", -1};
  GdalComplaints complaints;
  DatasetPtr suggested(GDALDataset::FromHandle(GDALAutoCreateWarpedVRT(
      &dataset, nullptr, target.wkt().c_str(), GRA_Bilinear, 0.125, nullptr)));
  double t[6];
  if (!suggested || suggested->GetGeoTransform(t) != CE_None) {
    throw InputError(where,
                     "cannot be brought into " + target.name() + " (" + complaints.text() + ")");
  }
  const double cell = std::min(t[1], -t[5]);
  const double margin = 3.0 * cell;
  if ((box.east - box.west) / cell * (box.north - box.south) / cell > max_cells) {
    throw InputError(where,
                     "has too many cells in the area; give [site] bounds or a coarser raster");
  }
  const auto number = [](double v) { return std::string(CPLSPrintf("%.9f", v)); };
  // Whole multiples of the cell, so that the same raster gives the same cells for any box.
  const auto down = [&](double v) { return number(std::floor((v - margin) / cell) * cell); };
  const auto up = [&](double v) { return number(std::ceil((v + margin) / cell) * cell); };
  CPLStringList arguments;
  for (const std::string& a : {std::string("-of"),
                               std::string("MEM"),
                               std::string("-t_srs"),
                               target.wkt(),
                               std::string("-r"),
                               std::string("bilinear"),
                               std::string("-ot"),
                               std::string("Float32"),
                               std::string("-dstnodata"),
                               std::string("nan"),
                               std::string("-et"),
                               std::string("0.05"),
                               std::string("-te"),
                               down(box.west),
                               down(box.south),
                               up(box.east),
                               up(box.north),
                               std::string("-tr"),
                               number(cell),
                               number(cell)}) {
    arguments.AddString(a.c_str());
  }
  GDALWarpAppOptions* options = GDALWarpAppOptionsNew(arguments.List(), nullptr);
  GDALDatasetH source = &dataset;
  int usage_error = 0;
  DatasetPtr result(
      GDALDataset::FromHandle(GDALWarp("", nullptr, 1, &source, options, &usage_error)));
  GDALWarpAppOptionsFree(options);
  if (!result) throw InputError(where, "cannot be read in the area (" + complaints.text() + ")");
  return result;
}

}  // namespace

LonLatBounds raster_lonlat_bounds(const RasterQuery& query) {
  const DatasetPtr dataset = open_raster(query);
  const SourceRef where{query.path, "", -1};
  height_band(*dataset, query);
  double t[6];
  dataset->GetGeoTransform(t);
  const CrsTransform to_degrees(crs_of(*dataset, where), Crs::wgs84());
  LonLatBounds bounds{180.0, 90.0, -180.0, -90.0};
  for (const double u : {0.0, 0.5, 1.0}) {
    for (const double v : {0.0, 0.5, 1.0}) {
      const double col = u * dataset->GetRasterXSize(), row = v * dataset->GetRasterYSize();
      const auto p = to_degrees({t[0] + col * t[1] + row * t[2], t[3] + col * t[4] + row * t[5]});
      if (!p) throw InputError(where, "lies outside the area of its own CRS");
      bounds = {std::min(bounds.west_deg, p->x), std::min(bounds.south_deg, p->y),
                std::max(bounds.east_deg, p->x), std::max(bounds.north_deg, p->y)};
    }
  }
  return bounds;
}

HeightRaster read_heights(const RasterQuery& query, const Crs& target, const MapBounds& box) {
  DatasetPtr dataset = open_raster(query);
  const SourceRef where{query.path, "", -1};
  GDALRasterBand* band = &height_band(*dataset, query);
  const Crs own = crs_of(*dataset, where);
  HeightRaster raster;
  raster.vertical_datum = own.vertical_datum();
  const double factor = metres_per_unit(*band);
  double t[6];
  dataset->GetGeoTransform(t);
  const bool north_up = t[2] == 0.0 && t[4] == 0.0 && t[5] < 0.0;
  if (!own.same_as(target) || !north_up) {
    if (query.band != 1 || dataset->GetRasterCount() > 1) {
      // Only the band asked for goes through the warp.
      CPLStringList arguments;
      for (const char* a : {"-of", "MEM", "-b"}) arguments.AddString(a);
      arguments.AddString(std::to_string(query.band).c_str());
      GDALTranslateOptions* options = GDALTranslateOptionsNew(arguments.List(), nullptr);
      DatasetPtr one(GDALDataset::FromHandle(GDALTranslate("", dataset.get(), options, nullptr)));
      GDALTranslateOptionsFree(options);
      if (!one) throw InputError(where, "cannot be read");
      dataset = std::move(one);
    }
    dataset = warped(*dataset, target, box, query);
    band = dataset->GetRasterBand(1);
    dataset->GetGeoTransform(t);
    raster.resampled = true;
  }
  int has_nodata = 0;
  const double nodata = band->GetNoDataValue(&has_nodata);
  raster.grid = cut(*band, t, box, where);
  for (float& value : raster.grid.values) {
    const bool missing = !std::isfinite(value) ||
                         (has_nodata && !std::isnan(nodata) && value == static_cast<float>(nodata));
    value = missing ? std::numeric_limits<float>::quiet_NaN()
                    : static_cast<float>(static_cast<double>(value) * factor);
    raster.nodata_cells += missing ? 1 : 0;
  }
  if (raster.nodata_cells == raster.grid.values.size()) {
    throw InputError(where, "has no data where the site is; check its CRS and extent");
  }
  return raster;
}

}  // namespace sim
