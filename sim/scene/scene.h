// The street as the rays see it: triangles in metres, each belonging to a named thing that came
// from a named record. Immutable once built.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "sim/base/antenna.h"
#include "sim/base/assets.h"
#include "sim/base/grid.h"
#include "sim/base/input_error.h"
#include "sim/base/points.h"
#include "sim/base/receiver_context.h"
#include "sim/base/units.h"

namespace sim {

/// What kinds of thing may stand in the way. Each is one ray mask bit.
enum class ObstacleKind : std::uint8_t {
  ground,
  building,
  pole,
  trunk,    ///< of a tree: opaque and thin
  crown,    ///< foliage of one tree
  canopy,   ///< foliage of woodland, a canopy raster or a point cloud
  vehicle,  ///< car, van, truck, bus
  object,   ///< sign, fence, wall, hoarding, kiosk, person, mesh, point-cloud voxels
};
inline constexpr int obstacle_kind_count = 8;
std::string_view to_string(ObstacleKind kind);

/// Foliage lets the ray through at a price; everything else is opaque.
constexpr bool is_foliage(ObstacleKind kind) {
  return kind == ObstacleKind::crown || kind == ObstacleKind::canopy;
}

using KindMask = std::uint32_t;
constexpr KindMask mask_of(ObstacleKind kind) { return KindMask{1} << static_cast<int>(kind); }
inline constexpr KindMask foliage_mask =
    mask_of(ObstacleKind::crown) | mask_of(ObstacleKind::canopy);
inline constexpr KindMask everything_mask = (KindMask{1} << obstacle_kind_count) - 1;
inline constexpr KindMask opaque_mask = everything_mask & ~foliage_mask;
/// What is always `nlos` when it crosses the direct ray.
inline constexpr KindMask wide_mask =
    mask_of(ObstacleKind::ground) | mask_of(ObstacleKind::building);

constexpr bool is_wide(ObstacleKind kind) { return (mask_of(kind) & wide_mask) != 0; }

using ObstacleId = std::uint32_t;
inline constexpr ObstacleId no_obstacle = std::numeric_limits<ObstacleId>::max();
using MaterialId = std::uint32_t;
using NodeIndex = std::uint32_t;

/// P.2040: eps' = a f^b, sigma = c f^d S/m, f in GHz.
struct Material {
  std::string name;
  double a = 1.0, b = 0.0, c = 0.0, d = 0.0;
  double min_ghz = 0.0, max_ghz = 0.0;
  std::string source;
};

/// A crown as an exact ellipsoid: semi-axes horizontally and vertically. Its triangles enclose it,
/// so that a ray which meets the crown always meets a triangle.
struct CrownShape {
  ScenePoint center;
  double radius_m = 0.0, half_height_m = 0.0;
};

struct Obstacle {
  std::string id;  ///< what the user calls it: "way/123", "lamp 7"
  ObstacleKind kind = ObstacleKind::object;
  std::string what;  ///< plain noun for sentences: "building", "lamp post", "truck", "ground"
  MaterialId material = 0;
  double base_m = 0.0, top_m = 0.0;  ///< lowest and highest point, scene up
  SourceRef source;
  std::string species_class;        ///< foliage: broadleaf | conifer
  std::string height_source;        ///< building: tagged | levels | surface | neighbours | fallback
  std::optional<CrownShape> crown;  ///< of kind crown
  std::uint32_t first_triangle = 0, triangle_count = 0;  ///< in the mesh of its kind
};

/// All triangles of one kind. Closed surfaces with outward normals (counter-clockwise seen from
/// outside) except ground, whose normals point up.
struct TriangleMesh {
  std::vector<ScenePoint> vertices;
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<ObstacleId> obstacle_of_triangle;
};

/// The ground under the scene: bilinear on the terrain triangles, or flat.
struct Ground {
  HeightGrid grid;      ///< in scene axes and heights; empty = flat
  double flat_m = 0.0;  ///< at the origin; elsewhere it follows the Earth
  double effective_earth_radius_m = std::numeric_limits<double>::infinity();
  /// Scene height of the ground; NaN outside the raster.
  double height_at(double x_m, double y_m) const {
    return grid.empty() ? flat_m - (x_m * x_m + y_m * y_m) / (2.0 * effective_earth_radius_m)
                        : grid.sample(x_m, y_m);
  }
};

struct Sector {
  std::string id, pattern, polarization;
  Angle azimuth, downtilt;
  Frequency frequency;
  double bandwidth_mhz = 100.0;
  int carriers = 1;
  Dbm eirp;                                   ///< peak of the pattern, whole carrier
  std::shared_ptr<const AntennaTable> table;  ///< when the pattern is a file
  int rows = 0, cols = 0;                     ///< of a 3gpp-array; 0 = assets/defaults.csv
  std::optional<Db> broadcast_gain;           ///< of the broadcast beam's peak over the data beam's
};

struct Node {
  std::string id;
  ScenePoint position;  ///< of the antennas
  double height_agl_m = 0.0;
  std::vector<Sector> sectors;
  std::vector<ObstacleId> own_poles;  ///< the pole it hangs on: transparent to it
  SourceRef source;
};

struct Street {
  std::string id, name;
  std::vector<ScenePoint> line;  ///< on the ground
  SourceRef source;
};

struct BuildingOutline {
  ObstacleId obstacle = no_obstacle;
  /// shell first, then holes; open rings
  std::vector<std::vector<std::vector<ScenePoint>>> polygons;
};

/// The day of the test and the phone, as the site file states them. `defaults` already carries what
/// the site file overrides.
struct Conditions {
  bool leaf_on = true;
  double rain_mm_per_h = 0.0;
  double receiver_height_agl_m = 1.5;
  ReceiverContext receiver_context = ReceiverContext::outdoor;
  Facing facing;
  Housing housing;
  Defaults defaults;
};

struct Scene {
  SceneFrame frame;
  Conditions conditions;
  Ground ground;
  std::array<TriangleMesh, obstacle_kind_count> meshes;  ///< by ObstacleKind
  std::vector<Obstacle> obstacles;                       ///< by ObstacleId
  std::vector<Material> materials;                       ///< by MaterialId
  std::vector<Node> nodes;
  std::vector<Street> streets;
  std::vector<BuildingOutline> outlines;  ///< footprints, for maps and for "inside a building"

  const TriangleMesh& mesh(ObstacleKind kind) const {
    return meshes[static_cast<std::size_t>(kind)];
  }
};

}  // namespace sim
