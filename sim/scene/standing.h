// The work of build_scene(), one function per kind of thing. Only for the sources of this room.
#pragma once

#include "sim/import/map_geometry.h"
#include "sim/scene/scene_builder.h"
#include "sim/scene/shapes.h"

namespace sim {

/// The scene being built, and how to turn records into its frame.
class Standing {
 public:
  Standing(const ImportedSite& imported, Scene& scene, ImportReport& report);

  const ImportedSite& imported;
  Scene& scene;
  ImportReport& report;

  FlatPoint flat(Xy p) const { return {p.x - imported.middle.x_m, p.y - imported.middle.y_m}; }
  FlatRings flat(const MapPolygon& polygon) const;
  double ground_at(FlatPoint p) const { return scene.ground.height_at(p.x_m, p.y_m); }

  /// Scene height of an elevation above the vertical datum at a place.
  double height_of(double elevation_m, FlatPoint p) const {
    return elevation_m - imported.middle.z_m - scene.frame.drop_m(p.x_m, p.y_m);
  }

  /// Lowest and mean ground under rings: corners, edges and inner points. NaN outside the raster.
  struct GroundUnder {
    double lowest_m, highest_m, mean_m;
  };
  GroundUnder ground_under(const FlatRings& rings) const;

  MaterialId material(const std::string& name) const;

  /// Adds an obstacle; its triangles follow through the pen, then close() completes the record.
  ObstacleId open(Obstacle obstacle);
  MeshPen pen(ObstacleId id);
  void close(ObstacleId id);

  void drop(const SourceRef& where, const std::string& code, const std::string& why);
};

void stand_ground(Standing& standing);
void stand_buildings(Standing& standing);
void stand_poles(Standing& standing);
void stand_trees(Standing& standing);
void stand_canopies(Standing& standing);
void stand_objects(Standing& standing);
void stand_meshes(Standing& standing);        // Open3D
void stand_point_clouds(Standing& standing);  // Open3D
void stand_nodes(Standing& standing);

/// A box of canopy over the ground for each run of cells of about the same top.
void add_canopy_columns(Standing& standing, const HeightGrid& top_above_ground,
                        const SourceRef& source, const std::string& species_class);

}  // namespace sim
