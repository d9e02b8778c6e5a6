// The flat faces of a scene that can mirror a wave.
#pragma once

#include <vector>

#include "sim/scene/scene.h"
#include "sim/scene/triangulation.h"

namespace sim {

/// A rectangle in a face's own plane.
struct FaceWindow {
  double u0_m = 0.0, u1_m = -1.0, v0_m = 0.0, v1_m = -1.0;
  bool empty() const { return u1_m < u0_m || v1_m < v0_m; }
  bool holds(FlatPoint p) const {
    return p.x_m >= u0_m && p.x_m <= u1_m && p.y_m >= v0_m && p.y_m <= v1_m;
  }
};

/// All triangles of one thing that lie in one plane. `normal` points outwards; `u` is level, and
/// (u, v, normal) is right-handed, so that v points up a wall.
struct ReflectingFace {
  ObstacleId obstacle = no_obstacle;
  ObstacleKind kind = ObstacleKind::building;
  ScenePoint origin, normal, u, v;
  FaceWindow bounds;
  bool fills_bounds = false;  ///< a full rectangle
  std::vector<std::array<FlatPoint, 3>> triangles;

  double height_over_m(ScenePoint p) const { return dot(normal, p - origin); }
  FlatPoint in_plane(ScenePoint p) const { return {dot(u, p - origin), dot(v, p - origin)}; }
  ScenePoint in_space(FlatPoint p) const { return origin + p.x_m * u + p.y_m * v; }
  ScenePoint mirrored(ScenePoint p) const { return p - (2.0 * height_over_m(p)) * normal; }
  bool contains(FlatPoint p) const;
  bool is_level() const { return normal.z_m > 1.0 - 1e-12; }
  bool is_upright() const { return std::abs(normal.z_m) < 1e-12; }
};

/// Faces of buildings, objects and vehicles with both sides at least `smallest_side_m`, and the
/// ground where all of it is one plane. Terrain that is not flat mirrors nothing here: its
/// triangles are the raster's, not the street's.
class ReflectingFaces {
 public:
  explicit ReflectingFaces(const Scene& scene);

  const std::vector<ReflectingFace>& all() const { return faces_; }
  const ReflectingFace& operator[](std::uint32_t i) const { return faces_[i]; }
  /// The face that a triangle is part of; nullptr for one that is part of none.
  const ReflectingFace* face_of(ObstacleKind kind, std::uint32_t triangle) const;

  /// Smaller than the first Fresnel zone of any street link it is no mirror but a scatterer.
  static constexpr double smallest_side_m = 0.5;

 private:
  void add_obstacle(const Scene& scene, const Obstacle& obstacle, ObstacleId id);

  std::vector<ReflectingFace> faces_;
  std::array<std::vector<std::uint32_t>, obstacle_kind_count> face_of_;
};

}  // namespace sim
