#include <ogr_geometry.h>

#include "sim/gis/gdal_session.h"
#include "sim/gis/geometry_from_ogr.h"

namespace sim {

std::optional<PolygonSet> repaired(const PolygonSet& polygons, std::string& reason) {
  start_gdal();
  reason.clear();
  GdalComplaints complaints;
  const std::unique_ptr<OGRGeometry> geometry = ogr_from_geometry(polygons);
  // Fewer than three different corners: no area, and GEOS would refuse even to look.
  if (geometry->IsValid()) return polygons;
  reason = complaints.text().empty() ? "ring does not enclose an area" : complaints.text();
  const std::unique_ptr<OGRGeometry> valid(geometry->MakeValid());
  if (!valid) return std::nullopt;
  const Geometry result = geometry_from_ogr(valid.get());
  if (const auto* set = std::get_if<PolygonSet>(&result)) return *set;
  return std::nullopt;
}

}  // namespace sim
