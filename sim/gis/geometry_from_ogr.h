// Our plain shapes from OGR's and back. Only for the sources of this room.
#pragma once

#include <memory>

#include "sim/gis/vector_file.h"

class OGRGeometry;

namespace sim {

/// Points, lines and polygons of any OGR geometry, curves made linear, collections flattened to the
/// kind of highest dimension. monostate for null, empty or a coordinate that is not finite.
Geometry geometry_from_ogr(const OGRGeometry* geometry);

/// A multi-geometry of the shape; null for monostate.
std::unique_ptr<OGRGeometry> ogr_from_geometry(const Geometry& geometry);

}  // namespace sim
