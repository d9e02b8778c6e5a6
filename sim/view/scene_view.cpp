// The scene as the rays see it, for the page.
#include <algorithm>
#include <cmath>
#include <filesystem>

#include "sim/gis/crs.h"
#include "sim/view/answers.h"
#include "sim/view/packed.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

/// Finer ground than this many cells is thinned out for the picture.
constexpr std::size_t most_ground_cells = 1'000'000;

struct Extent {
  double west = 1e300, south = 1e300, east = -1e300, north = -1e300;
  void add(double x_m, double y_m) {
    west = std::min(west, x_m);
    east = std::max(east, x_m);
    south = std::min(south, y_m);
    north = std::max(north, y_m);
  }
};

/// What is drawn: every thing and street, and the ground within the radius of the nodes.
Extent extent_of(const Scene& scene, double radius_m) {
  Extent extent;
  for (const Node& node : scene.nodes) {
    extent.add(node.position.x_m - radius_m, node.position.y_m - radius_m);
    extent.add(node.position.x_m + radius_m, node.position.y_m + radius_m);
  }
  if (const GridSpec& spec = scene.ground.grid.spec; !scene.ground.grid.empty()) {
    extent.west = std::max(extent.west, spec.west_m);
    extent.north = std::min(extent.north, spec.north_m);
    extent.east = std::min(extent.east, spec.west_m + spec.cols * spec.cell_x_m);
    extent.south = std::max(extent.south, spec.north_m - spec.rows * spec.cell_y_m);
  }
  for (const TriangleMesh& mesh : scene.meshes) {
    if (&mesh == &scene.mesh(ObstacleKind::ground)) continue;
    for (const ScenePoint p : mesh.vertices) extent.add(p.x_m, p.y_m);
  }
  for (const Street& street : scene.streets) {
    for (const ScenePoint p : street.line) extent.add(p.x_m, p.y_m);
  }
  constexpr double margin_m = 10.0;
  if (extent.west > extent.east) extent = {0.0, 0.0, 0.0, 0.0};
  return {extent.west - margin_m, extent.south - margin_m, extent.east + margin_m,
          extent.north + margin_m};
}

/// An affine map from the scene to degrees, through three places.
Json lonlat_of(const Scene& scene) {
  const CrsTransform to_degrees(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84());
  constexpr double arm_m = 500.0;
  const auto at = [&](double x, double y) {
    const MapPoint p = scene.frame.map_from_scene({x, y, 0.0});
    return to_degrees({p.x_m, p.y_m}).value_or(Xy{});
  };
  const Xy west = at(-arm_m, 0), east = at(arm_m, 0), south = at(0, -arm_m), north = at(0, arm_m);
  const Xy here = at(0, 0);
  return {here.x, (east.x - west.x) / (2.0 * arm_m), (north.x - south.x) / (2.0 * arm_m),
          here.y, (east.y - west.y) / (2.0 * arm_m), (north.y - south.y) / (2.0 * arm_m)};
}

Json ground_of(const Ground& ground) {
  if (ground.grid.empty()) return nullptr;
  const GridSpec& spec = ground.grid.spec;
  int stride = 1;
  const auto thinned = [&](int cells) { return (cells + stride - 1) / stride; };
  while (static_cast<std::size_t>(thinned(spec.cols)) *
             static_cast<std::size_t>(thinned(spec.rows)) >
         most_ground_cells) {
    ++stride;
  }
  std::vector<float> heights;
  heights.reserve(static_cast<std::size_t>(thinned(spec.cols)) *
                  static_cast<std::size_t>(thinned(spec.rows)));
  for (int row = spec.rows - 1; row >= 0; row -= stride) {  // from the south
    for (int col = 0; col < spec.cols; col += stride) {
      heights.push_back(ground.grid.values[spec.index(col, row)]);
    }
  }
  return {{"grid",
           {{"x0_m", spec.center_x_m(0)},
            {"y0_m", spec.center_y_m(spec.rows - 1)},
            {"step_m", spec.cell_x_m * stride},
            {"columns", thinned(spec.cols)},
            {"rows", thinned(spec.rows)}}},
          {"heights", packed(std::span<const float>(heights))}};
}

Json thing_of(const Obstacle& o, const ImportedSite& imported) {
  Json thing{{"id", o.id},
             {"kind", to_string(o.kind)},
             {"what", o.what},
             {"source", source_words(imported, o.source)},
             {"base_m", rounded(o.base_m, 3)},
             {"top_m", rounded(o.top_m, 3)},
             {"first_triangle", o.first_triangle},
             {"triangles", o.triangle_count}};
  if (!o.height_source.empty()) thing["height_source"] = o.height_source;
  if (o.crown) {
    thing["crown"] = {{"center", place_json(o.crown->center)},
                      {"radius_m", rounded(o.crown->radius_m, 3)},
                      {"half_height_m", rounded(o.crown->half_height_m, 3)}};
  }
  return thing;
}

Json mesh_of(const Scene& scene, ObstacleKind kind) {
  const TriangleMesh& mesh = scene.mesh(kind);
  std::vector<float> vertices;
  vertices.reserve(3 * mesh.vertices.size());
  for (const ScenePoint p : mesh.vertices) {
    for (const double v : {p.x_m, p.y_m, p.z_m}) vertices.push_back(static_cast<float>(v));
  }
  std::vector<std::uint32_t> indices;
  indices.reserve(3 * mesh.triangles.size());
  for (const auto& triangle : mesh.triangles) {
    indices.insert(indices.end(), triangle.begin(), triangle.end());
  }
  return {{"kind", to_string(kind)},
          {"vertices", packed(std::span<const float>(vertices))},
          {"indices", packed(std::span<const std::uint32_t>(indices))}};
}

Json outlines_of(const Scene& scene) {
  Json list = Json::array();
  for (const BuildingOutline& outline : scene.outlines) {
    Json rings = Json::array();
    for (const auto& polygon : outline.polygons) {
      for (const auto& ring : polygon) {
        Json places = Json::array();
        for (const ScenePoint p : ring) {
          places.push_back({rounded(p.x_m, 2), rounded(p.y_m, 2)});
        }
        rings.push_back(std::move(places));
      }
    }
    list.push_back({{"thing", outline.obstacle}, {"rings", std::move(rings)}});
  }
  return list;
}

Json node_of(const Node& node, double beamwidth_deg) {
  Json sectors = Json::array();
  for (const Sector& s : node.sectors) {
    sectors.push_back({{"id", s.id},
                       {"azimuth_deg", rounded(s.azimuth.degrees(), 3)},
                       {"downtilt_deg", rounded(s.downtilt.degrees(), 3)},
                       {"frequency_ghz", s.frequency.ghz()},
                       {"eirp_dbm", s.eirp.value},
                       {"beamwidth_deg", s.pattern == "isotropic" ? 360.0 : beamwidth_deg},
                       {"pattern", s.table ? s.table->path : s.pattern}});
  }
  return {{"id", node.id},
          {"position", place_json(node.position)},
          {"height_agl_m", rounded(node.height_agl_m, 3)},
          {"sectors", std::move(sectors)}};
}

}  // namespace

std::string source_words(const ImportedSite& imported, SourceRef source) {
  const std::filesystem::path folder = imported.site.folder;
  std::error_code ignored;
  const auto relative = std::filesystem::proximate(source.path, folder, ignored);
  if (!source.path.empty() && !ignored && *relative.begin() != "..") {
    source.path = relative.string();
  } else if (!source.path.empty()) {
    source.path = std::filesystem::path(source.path).filename().string();
  }
  return to_string(source);
}

Json place_json(ScenePoint p) { return {rounded(p.x_m, 3), rounded(p.y_m, 3), rounded(p.z_m, 3)}; }

Json line_json(const std::vector<ScenePoint>& line) {
  Json list = Json::array();
  for (const ScenePoint p : line) list.push_back(place_json(p));
  return list;
}

Json scene_view(const Scene& scene, const ImportedSite& imported) {
  constexpr double element_beamwidth_deg = 65.0;  // TR 38.901 Table 7.3-1
  const Extent extent = extent_of(scene, imported.site.predict.radius_m);
  Json json{{"crs", Crs::parse(scene.frame.crs_wkt, {}).name()},
            {"origin_map", {scene.frame.origin.x_m, scene.frame.origin.y_m}},
            {"lonlat", lonlat_of(scene)},
            {"convergence_deg", rounded(scene.frame.convergence.degrees(), 5)},
            {"bounds",
             {rounded(extent.west, 1), rounded(extent.south, 1), rounded(extent.east, 1),
              rounded(extent.north, 1)}},
            {"ground", ground_of(scene.ground)},
            {"elevation_offset_m", rounded(scene.frame.origin.z_m, 3)}};
  json["things"] = Json::array();
  for (const Obstacle& o : scene.obstacles) json["things"].push_back(thing_of(o, imported));
  json["meshes"] = Json::array();
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const auto kind = static_cast<ObstacleKind>(k);
    if (kind == ObstacleKind::ground || scene.mesh(kind).triangles.empty()) continue;
    json["meshes"].push_back(mesh_of(scene, kind));
  }
  json["outlines"] = outlines_of(scene);
  json["nodes"] = Json::array();
  for (const Node& node : scene.nodes)
    json["nodes"].push_back(node_of(node, element_beamwidth_deg));
  json["streets"] = Json::array();
  for (const Street& street : scene.streets) {
    json["streets"].push_back({{"name", street.name}, {"line", line_json(street.line)}});
  }
  return json;
}

std::string scene_json(const Scene& scene, const ImportedSite& imported) {
  return text_of(scene_view(scene, imported));
}

}  // namespace sim
