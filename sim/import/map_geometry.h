// Small questions about polygons on the map.
#pragma once

#include <vector>

#include "sim/gis/raster_file.h"
#include "sim/import/records.h"

namespace sim {

/// Polygons as open rings, shell counter-clockwise.
std::vector<MapPolygon> map_polygons(const PolygonSet& set);
double area_m2(const MapRing& ring);  ///< signed, counter-clockwise positive
bool contains(const MapPolygon& polygon, Xy p);
bool contains(const std::vector<MapPolygon>& polygons, Xy p);
MapBounds bounds_of(const std::vector<MapPolygon>& polygons);

}  // namespace sim
