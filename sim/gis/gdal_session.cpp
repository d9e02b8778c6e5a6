#include "sim/gis/gdal_session.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>

#include <mutex>

namespace sim {
namespace {

void CPL_STDCALL keep_first(CPLErr level, CPLErrorNum, const char* message) {
  auto* complaints = static_cast<GdalComplaints*>(CPLGetErrorHandlerUserData());
  if (complaints == nullptr) return;
  std::string& slot = level >= CE_Failure ? complaints->failure : complaints->warning;
  if (level < CE_Warning || !slot.empty()) return;
  slot = message;
  for (char& c : slot) {
    if (c == '\n' || c == '\r') c = ' ';
  }
}

}  // namespace

void start_gdal() {
  static std::once_flag once;
  std::call_once(once, [] {
    CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");  // no .aux.xml beside the user's files
    CPLSetConfigOption("CPL_TMPDIR", "/tmp");      // OSM index files never in the data folder
    CPLSetConfigOption("OSM_USE_CUSTOM_INDEXING", "NO");  // accept PBF that is not sorted
    CPLSetConfigOption("SHAPE_RESTORE_SHX", "NO");
    CPLSetConfigOption("OGR_CURRENT_DATE", "2000-01-01T00:00:00Z");  // same input, same bytes
    CPLSetConfigOption("OGR_SQLITE_SYNCHRONOUS", "OFF");
    CPLSetConfigOption("GML_USE_OLD_GFS", "NO");
    CPLSetConfigOption("GDAL_DISABLE_READDIR_ON_OPEN", "EMPTY_DIR");
    GDALAllRegister();
  });
}

const std::vector<const char*>& vector_drivers() {
  static const std::vector<const char*> names{
      "GPKG", "GeoJSON", "GeoJSONSeq", "ESRI Shapefile", "FlatGeobuf", "OSM", "CSV", "GPX",
      "KML",  "LIBKML",  "GML",        "SQLite",         nullptr};
  return names;
}

const std::vector<const char*>& raster_drivers() {
  static const std::vector<const char*> names{"GTiff", "COG", "SRTMHGT", "AAIGrid", nullptr};
  return names;
}

GdalComplaints::GdalComplaints() { CPLPushErrorHandlerEx(keep_first, this); }
GdalComplaints::~GdalComplaints() { CPLPopErrorHandler(); }

std::string GdalComplaints::text() const { return failure.empty() ? warning : failure; }

}  // namespace sim
