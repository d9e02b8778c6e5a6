#include "sim/cast/reflecting_faces.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

constexpr std::uint32_t no_face = 0xFFFFFFFF;
constexpr double same_plane_m = 2e-3;  // vertices of one face lie this near to its plane
constexpr double same_direction = 1.0 - 1e-6;
constexpr double rounding_m = 1e-9;

double cross2(FlatPoint a, FlatPoint b, FlatPoint p) {
  return (b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m);
}

ScenePoint unit(ScenePoint v) { return (1.0 / std::sqrt(dot(v, v))) * v; }

/// u level along the face, v up it; for a level face east and north.
void set_axes(ReflectingFace& face) {
  const ScenePoint level{-face.normal.y_m, face.normal.x_m, 0.0};
  face.u = dot(level, level) > 1e-12 ? unit(level) : ScenePoint{1.0, 0.0, 0.0};
  face.v = cross(face.normal, face.u);
}

void set_bounds(ReflectingFace& face) {
  FaceWindow& b = face.bounds;
  b = {1e300, -1e300, 1e300, -1e300};
  double area = 0.0;
  for (const auto& t : face.triangles) {
    area += 0.5 * std::abs(cross2(t[0], t[1], t[2]));
    for (const FlatPoint p : t) {
      b.u0_m = std::min(b.u0_m, p.x_m);
      b.u1_m = std::max(b.u1_m, p.x_m);
      b.v0_m = std::min(b.v0_m, p.y_m);
      b.v1_m = std::max(b.v1_m, p.y_m);
    }
  }
  const double whole = (b.u1_m - b.u0_m) * (b.v1_m - b.v0_m);
  face.fills_bounds = std::abs(area - whole) < 1e-6 * whole;
}

bool large_enough(const ReflectingFace& face) {
  return std::min(face.bounds.u1_m - face.bounds.u0_m, face.bounds.v1_m - face.bounds.v0_m) >=
         ReflectingFaces::smallest_side_m;
}

/// The underside of a building in the ground: no ray gets there.
bool buried(const Scene& scene, const ReflectingFace& face) {
  if (face.normal.z_m > -0.999) return false;
  for (const auto& t : face.triangles) {
    for (const FlatPoint p : t) {
      const ScenePoint q = face.in_space(p);
      if (!(q.z_m <= scene.ground.height_at(q.x_m, q.y_m))) return false;
    }
  }
  return true;
}

}  // namespace

bool ReflectingFace::contains(FlatPoint p) const {
  const FaceWindow& b = bounds;
  if (p.x_m < b.u0_m - rounding_m || p.x_m > b.u1_m + rounding_m || p.y_m < b.v0_m - rounding_m ||
      p.y_m > b.v1_m + rounding_m) {
    return false;
  }
  if (fills_bounds) return true;
  return std::any_of(triangles.begin(), triangles.end(), [&](const auto& t) {
    return cross2(t[0], t[1], p) >= -rounding_m && cross2(t[1], t[2], p) >= -rounding_m &&
           cross2(t[2], t[0], p) >= -rounding_m;
  });
}

ReflectingFaces::ReflectingFaces(const Scene& scene) {
  for (std::size_t k = 0; k < face_of_.size(); ++k) {
    face_of_[k].assign(scene.meshes[k].triangles.size(), no_face);
  }
  for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
    const Obstacle& obstacle = scene.obstacles[id];
    switch (obstacle.kind) {
      case ObstacleKind::ground:
      case ObstacleKind::building:
      case ObstacleKind::vehicle:
      case ObstacleKind::object:
        add_obstacle(scene, obstacle, id);
        break;
      default:
        break;
    }
  }
}

void ReflectingFaces::add_obstacle(const Scene& scene, const Obstacle& obstacle, ObstacleId id) {
  const TriangleMesh& mesh = scene.mesh(obstacle.kind);
  const bool is_ground = obstacle.kind == ObstacleKind::ground;
  // Flat ground bends with the Earth by millimetres across a street: one mirror all the same.
  const bool is_flat_ground = is_ground && scene.ground.grid.empty();
  // Finding the plane of each triangle among the others' is quadratic; a scanned mesh is not walls.
  constexpr std::uint32_t most_triangles_to_join = 4000;
  const bool join = is_ground || obstacle.triangle_count <= most_triangles_to_join;
  std::vector<ReflectingFace> found;
  std::vector<std::vector<std::uint32_t>> members;
  for (std::uint32_t i = 0; i < obstacle.triangle_count; ++i) {
    const std::uint32_t t = obstacle.first_triangle + i;
    const auto& [a, b, c] = mesh.triangles[t];
    const std::array<ScenePoint, 3> p{mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]};
    const ScenePoint across = cross(p[1] - p[0], p[2] - p[0]);
    const double twice_area = std::sqrt(dot(across, across));
    if (twice_area < 1e-6) continue;
    const ScenePoint normal = (1.0 / twice_area) * across;
    const auto lies_in = [&](const ReflectingFace& face) {
      return is_flat_ground || (dot(face.normal, normal) > same_direction &&
                                std::all_of(p.begin(), p.end(), [&](ScenePoint q) {
                                  return std::abs(face.height_over_m(q)) < same_plane_m;
                                }));
    };
    auto face = join ? std::find_if(found.begin(), found.end(), lies_in) : found.end();
    if (face == found.end()) {
      if (is_ground && !found.empty()) return;  // terrain with hills
      ReflectingFace fresh{
          .obstacle = id, .kind = obstacle.kind, .origin = p[0], .normal = normal, .triangles = {}};
      if (is_flat_ground) {
        fresh.origin.z_m = scene.ground.flat_m;
        fresh.normal = {0.0, 0.0, 1.0};
      }
      set_axes(fresh);
      found.push_back(std::move(fresh));
      members.emplace_back();
      face = found.end() - 1;
    }
    face->triangles.push_back({face->in_plane(p[0]), face->in_plane(p[1]), face->in_plane(p[2])});
    members[static_cast<std::size_t>(face - found.begin())].push_back(t);
  }
  for (std::size_t f = 0; f < found.size(); ++f) {
    set_bounds(found[f]);
    if (!large_enough(found[f]) || buried(scene, found[f])) continue;
    for (const std::uint32_t t : members[f]) {
      face_of_[static_cast<std::size_t>(obstacle.kind)][t] =
          static_cast<std::uint32_t>(faces_.size());
    }
    faces_.push_back(std::move(found[f]));
  }
}

const ReflectingFace* ReflectingFaces::face_of(ObstacleKind kind, std::uint32_t triangle) const {
  const std::uint32_t face = face_of_[static_cast<std::size_t>(kind)][triangle];
  return face == no_face ? nullptr : &faces_[face];
}

}  // namespace sim
