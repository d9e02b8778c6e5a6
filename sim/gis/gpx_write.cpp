#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <cmath>

#include "sim/gis/gdal_session.h"
#include "sim/gis/gpx_file.h"

namespace sim {
namespace {

OGRLayer* layer_of(GDALDataset& file, const char* name, OGRwkbGeometryType type,
                   OGRSpatialReference& degrees, const GdalComplaints& complaints,
                   const std::string& path) {
  OGRLayer* layer = file.CreateLayer(name, &degrees, type, nullptr);
  if (layer == nullptr) throw InputError({path, name, -1}, "not written: " + complaints.text());
  return layer;
}

void put(OGRLayer& layer, OGRFeature& feature, const std::string& path) {
  if (layer.CreateFeature(&feature) != OGRERR_NONE) {
    throw InputError({path, layer.GetName(), -1}, "a feature could not be written");
  }
}

}  // namespace

void write_gpx(const std::string& path, const GpxRoute& route) {
  start_gdal();
  GdalComplaints complaints;
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPX");
  const std::unique_ptr<GDALDataset> file(
      driver == nullptr ? nullptr : driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  if (!file) throw InputError({path, "", -1}, "cannot be written: " + complaints.text());
  OGRSpatialReference degrees;
  degrees.SetWellKnownGeogCS("WGS84");
  degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  OGRLayer* points = layer_of(*file, "waypoints", wkbPoint, degrees, complaints, path);
  for (const Waypoint& waypoint : route.waypoints) {
    OGRFeature feature(points->GetLayerDefn());
    if (std::isfinite(waypoint.at.z)) feature.SetField("ele", waypoint.at.z);
    feature.SetField("name", waypoint.name.c_str());
    feature.SetField("desc", waypoint.description.c_str());
    feature.SetField("type", waypoint.kind.c_str());
    OGRPoint place(waypoint.at.x, waypoint.at.y);
    feature.SetGeometry(&place);
    put(*points, feature, path);
  }
  if (route.track.size() > 1) {
    OGRLayer* tracks = layer_of(*file, "tracks", wkbMultiLineString25D, degrees, complaints, path);
    OGRFeature feature(tracks->GetLayerDefn());
    feature.SetField("name", route.track_name.c_str());
    OGRMultiLineString lines;
    OGRLineString line;
    for (const Coordinate& c : route.track) {
      if (std::isfinite(c.z)) {
        line.addPoint(c.x, c.y, c.z);
      } else {
        line.addPoint(c.x, c.y);
      }
    }
    lines.addGeometry(&line);
    feature.SetGeometry(&lines);
    put(*tracks, feature, path);
  }
  file->FlushCache(true);
  if (complaints.failed()) throw InputError({path, "", -1}, "not written: " + complaints.failure);
}

}  // namespace sim
