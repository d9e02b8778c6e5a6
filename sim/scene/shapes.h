// Closed shapes of the street as triangles: each call adds one to a mesh.
#pragma once

#include <span>

#include "sim/scene/scene.h"
#include "sim/scene/triangulation.h"

namespace sim {

/// Adds triangles to the mesh of one kind on behalf of one obstacle.
class MeshPen {
 public:
  MeshPen(TriangleMesh& mesh, ObstacleId obstacle) : mesh_(mesh), obstacle_(obstacle) {}
  std::uint32_t vertex(ScenePoint p);
  void triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c);

 private:
  TriangleMesh& mesh_;
  ObstacleId obstacle_;
};

/// Upright prism over rings (shell counter-clockwise, holes clockwise). Returns false when the roof
/// could not be triangulated: then it has walls only.
bool add_prism(MeshPen pen, const FlatRings& rings, double bottom_m, double top_m);

/// Closed upright cylinder of `sides` sides; its corners lie on the circle.
void add_cylinder(MeshPen pen, FlatPoint center, double radius_m, double bottom_m, double top_m,
                  int sides);

/// Box about a vertical axis: half lengths along and across `axis` (a horizontal unit vector).
void add_box(MeshPen pen, FlatPoint center, FlatPoint axis, double half_length_m,
             double half_width_m, double bottom_m, double top_m);

/// A polyhedron that encloses the ellipsoid, everywhere by less than a few per cent of its axes.
void add_enclosing_ellipsoid(MeshPen pen, const CrownShape& crown);

}  // namespace sim
