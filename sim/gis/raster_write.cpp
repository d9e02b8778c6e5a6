#include <cpl_string.h>
#include <gdal_alg.h>
#include <gdal_priv.h>
#include <geos_c.h>
#include <ogrsf_frmts.h>
#include <proj.h>

#include <cmath>
#include <limits>

#include "sim/gis/gdal_session.h"
#include "sim/gis/geometry_from_ogr.h"
#include "sim/gis/raster_file.h"

namespace sim {
namespace {

using DatasetPtr = std::unique_ptr<GDALDataset>;

DatasetPtr in_memory(const GridSpec& spec, int bands, const std::string& wkt) {
  GDALDriver* memory = GetGDALDriverManager()->GetDriverByName("MEM");
  DatasetPtr dataset(memory->Create("", spec.cols, spec.rows, bands, GDT_Float32, nullptr));
  double transform[6] = {spec.west_m, spec.cell_x_m, 0.0, spec.north_m, 0.0, -spec.cell_y_m};
  dataset->SetGeoTransform(transform);
  if (!wkt.empty()) dataset->SetProjection(wkt.c_str());
  return dataset;
}

void put(GDALDataset& dataset, int band, const std::vector<float>& values) {
  // RasterIO takes a void* for reading and writing alike; it only reads here.
  GDALRasterBand& target = *dataset.GetRasterBand(band);
  if (target.RasterIO(GF_Write, 0, 0, target.GetXSize(), target.GetYSize(),
                      const_cast<float*>(values.data()), target.GetXSize(), target.GetYSize(),
                      GDT_Float32, 0, 0, nullptr) != CE_None) {
    throw InputError({}, "a raster band could not be written in memory");
  }
}

}  // namespace

std::size_t fill_nodata(HeightGrid& grid, const Crs& crs) {
  start_gdal();
  std::size_t missing = 0;
  std::vector<float> valid(grid.values.size(), 1.0F);
  for (std::size_t i = 0; i < grid.values.size(); ++i) {
    if (std::isnan(grid.values[i])) {
      ++missing;
      valid[i] = 0.0F;
      grid.values[i] = 0.0F;
    }
  }
  if (missing == 0) return 0;
  const GdalComplaints silence;
  const DatasetPtr data = in_memory(grid.spec, 1, crs.wkt());
  const DatasetPtr mask = in_memory(grid.spec, 1, crs.wkt());
  put(*data, 1, grid.values);
  put(*mask, 1, valid);
  const double reach_cells = std::hypot(grid.spec.cols, grid.spec.rows);
  CPLStringList options;
  options.SetNameValue("TEMP_FILE_DRIVER", "MEM");
  if (GDALFillNodata(data->GetRasterBand(1), mask->GetRasterBand(1), reach_cells, 0, 0,
                     options.List(), nullptr, nullptr) != CE_None ||
      data->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, grid.spec.cols, grid.spec.rows,
                                       grid.values.data(), grid.spec.cols, grid.spec.rows,
                                       GDT_Float32, 0, 0, nullptr) != CE_None) {
    throw InputError({}, "cells without data could not be filled");
  }
  return missing;
}

void write_cog(const std::string& path, const Crs& crs, const GridSpec& spec,
               const std::vector<Band>& bands,
               const std::vector<std::pair<std::string, std::string>>& metadata) {
  start_gdal();
  GdalComplaints complaints;
  const DatasetPtr memory = in_memory(spec, static_cast<int>(bands.size()), crs.wkt());
  for (std::size_t i = 0; i < bands.size(); ++i) {
    const int number = static_cast<int>(i) + 1;
    GDALRasterBand& band = *memory->GetRasterBand(number);
    band.SetDescription(bands[i].name.c_str());
    band.SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
    put(*memory, number, bands[i].values);
  }
  for (const auto& [key, value] : metadata) memory->SetMetadataItem(key.c_str(), value.c_str());
  CPLStringList options;
  options.SetNameValue("COMPRESS", "DEFLATE");
  options.SetNameValue("PREDICTOR", "YES");
  options.SetNameValue("OVERVIEW_RESAMPLING", "NEAREST");  // classes and levels stay real values
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("COG");
  DatasetPtr file(
      driver->CreateCopy(path.c_str(), memory.get(), 0, options.List(), nullptr, nullptr));
  if (!file || complaints.failed()) {
    throw InputError({path, "", -1}, "cannot be written: " + complaints.text());
  }
}

std::vector<Contour> contours(const GridSpec& spec, const Band& band,
                              const std::vector<double>& levels) {
  start_gdal();
  const GdalComplaints silence;
  const DatasetPtr raster = in_memory(spec, 1, "");
  raster->GetRasterBand(1)->SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
  put(*raster, 1, band.values);
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("Memory");
  const DatasetPtr lines(driver->Create("", 0, 0, 0, GDT_Unknown, nullptr));
  std::vector<Contour> result;
  for (const double level : levels) {
    OGRLayer* layer = lines->CreateLayer("contour", nullptr, wkbLineString, nullptr);
    OGRFieldDefn id("id", OFTInteger), value("level", OFTReal);
    layer->CreateField(&id);
    layer->CreateField(&value);
    CPLStringList options;
    options.SetNameValue("FIXED_LEVELS", CPLSPrintf("%.9g", level));
    options.SetNameValue("ID_FIELD", "0");
    options.SetNameValue("ELEV_FIELD", "1");
    options.SetNameValue("NODATA", "nan");
    GDALContourGenerateEx(raster->GetRasterBand(1), layer, options.List(), nullptr, nullptr);
    Contour contour{level, {}};
    for (const OGRFeatureUniquePtr& feature : *layer) {
      const Geometry shape = geometry_from_ogr(feature->GetGeometryRef());
      if (const auto* set = std::get_if<LineSet>(&shape)) {
        contour.lines.lines.insert(contour.lines.lines.end(), set->lines.begin(), set->lines.end());
      }
    }
    result.push_back(std::move(contour));
  }
  return result;
}

std::vector<std::pair<std::string, std::string>> gis_versions() {
  return {{"GDAL", GDALVersionInfo("RELEASE_NAME")},
          {"PROJ", proj_info().version},
          {"GEOS", GEOSversion()}};
}

}  // namespace sim
