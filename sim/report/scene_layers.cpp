#include "sim/report/scene_layers.h"

#include <algorithm>

namespace sim {
namespace {

using Type = OutputField::Type;

std::vector<OutputField> obstacle_fields() {
  return {{"id", Type::text},
          {"kind", Type::text},
          {"what", Type::text},
          {"height_m", Type::real},
          {"base_elevation_m", Type::real},
          {"top_elevation_m", Type::real},
          {"height_source", Type::text},
          {"source_file", Type::text},
          {"source_layer", Type::text},
          {"source_record", Type::integer}};
}

std::vector<FieldValue> obstacle_values(const Scene& scene, const Obstacle& o, ScenePoint place) {
  const double to_elevation_m = scene.frame.map_from_scene(place).z_m - place.z_m;
  const auto slash = o.source.path.find_last_of('/');
  return {o.id,
          std::string(to_string(o.kind)),
          o.what,
          o.top_m - o.base_m,
          o.base_m + to_elevation_m,
          o.top_m + to_elevation_m,
          o.height_source,
          slash == std::string::npos ? o.source.path : o.source.path.substr(slash + 1),
          o.source.layer,
          o.source.record};
}

/// Middle of an obstacle's triangles in plan.
ScenePoint middle_of(const Scene& scene, const Obstacle& o) {
  const TriangleMesh& mesh = scene.mesh(o.kind);
  ScenePoint low{1e300, 1e300, o.base_m}, high{-1e300, -1e300, o.top_m};
  for (std::uint32_t t = 0; t < o.triangle_count; ++t) {
    for (const std::uint32_t v : mesh.triangles[o.first_triangle + t]) {
      low.x_m = std::min(low.x_m, mesh.vertices[v].x_m);
      low.y_m = std::min(low.y_m, mesh.vertices[v].y_m);
      high.x_m = std::max(high.x_m, mesh.vertices[v].x_m);
      high.y_m = std::max(high.y_m, mesh.vertices[v].y_m);
    }
  }
  return {0.5 * (low.x_m + high.x_m), 0.5 * (low.y_m + high.y_m), o.base_m};
}

OutputLayer points_of_kinds(const Scene& scene, const std::string& name, KindMask kinds) {
  OutputLayer layer{.name = name,
                    .shape = OutputLayer::Shape::point,
                    .fields = obstacle_fields(),
                    .features = {}};
  for (const Obstacle& o : scene.obstacles) {
    if ((mask_of(o.kind) & kinds) == 0) continue;
    const ScenePoint place = middle_of(scene, o);
    layer.features.push_back(
        {PointSet{{map_coordinate(scene.frame, place)}}, obstacle_values(scene, o, place)});
  }
  return layer;
}

}  // namespace

Coordinate map_coordinate(const SceneFrame& frame, ScenePoint p) {
  const MapPoint m = frame.map_from_scene(p);
  return {m.x_m, m.y_m, std::numeric_limits<double>::quiet_NaN()};
}

OutputLayer building_layer(const Scene& scene) {
  OutputLayer layer{.name = "buildings",
                    .shape = OutputLayer::Shape::polygon,
                    .fields = obstacle_fields(),
                    .features = {}};
  for (const BuildingOutline& outline : scene.outlines) {
    PolygonSet set;
    for (const auto& rings : outline.polygons) {
      PolygonShape shape;
      for (const auto& ring : rings) {
        CoordinateList list;
        for (const ScenePoint p : ring) list.push_back(map_coordinate(scene.frame, p));
        list.push_back(list.front());
        shape.rings.push_back(std::move(list));
      }
      set.polygons.push_back(std::move(shape));
    }
    const Obstacle& building = scene.obstacles[outline.obstacle];
    layer.features.push_back(
        {std::move(set), obstacle_values(scene, building, middle_of(scene, building))});
  }
  return layer;
}

OutputLayer pole_layer(const Scene& scene) {
  return points_of_kinds(scene, "poles", mask_of(ObstacleKind::pole));
}
OutputLayer tree_layer(const Scene& scene) { return points_of_kinds(scene, "trees", foliage_mask); }
OutputLayer object_layer(const Scene& scene) {
  return points_of_kinds(scene, "objects",
                         mask_of(ObstacleKind::vehicle) | mask_of(ObstacleKind::object));
}

OutputLayer node_layer(const Scene& scene) {
  OutputLayer layer{.name = "nodes",
                    .shape = OutputLayer::Shape::point,
                    .fields = {{"id", Type::text},
                               {"height_agl_m", Type::real},
                               {"elevation_m", Type::real},
                               {"sectors", Type::integer}},
                    .features = {}};
  for (const Node& node : scene.nodes) {
    layer.features.push_back(
        {PointSet{{map_coordinate(scene.frame, node.position)}},
         {node.id, node.height_agl_m, scene.frame.map_from_scene(node.position).z_m,
          static_cast<std::int64_t>(node.sectors.size())}});
  }
  return layer;
}

}  // namespace sim
