// The scene's things as map layers, shared by study.gpkg and scene.gpkg.
#pragma once

#include "sim/gis/vector_file.h"
#include "sim/scene/scene.h"

namespace sim {

/// A scene point as a map coordinate.
Coordinate map_coordinate(const SceneFrame& frame, ScenePoint p);

/// One layer of buildings with height, its source, and the record; poles; trees; other things.
OutputLayer building_layer(const Scene& scene);
OutputLayer pole_layer(const Scene& scene);
OutputLayer tree_layer(const Scene& scene);
OutputLayer object_layer(const Scene& scene);
OutputLayer node_layer(const Scene& scene);

}  // namespace sim
