#include "sim/scene/mesh_files.h"

#include <open3d/geometry/PointCloud.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/io/PointCloudIO.h>
#include <open3d/io/TriangleMeshIO.h>
#include <open3d/utility/Logging.h>

#include <cmath>
#include <filesystem>

#include "sim/scene/kind_colours.h"
#include "sim/scene/point_cloud.h"
#include "sim/scene/standing.h"

namespace sim {
namespace {

/// Open3D speaks on stdout; what matters we say ourselves.
void hush() {
  open3d::utility::SetVerbosityLevel(open3d::utility::VerbosityLevel::Error);
  open3d::utility::Logger::GetInstance().SetPrintFunction([](const std::string&) {});
}

void refuse_missing(const std::string& path) {
  if (!std::filesystem::exists(path)) {
    throw InputError({path, "", -1},
                     "no such file; check the path, which is taken from the folder "
                     "of the site file");
  }
}

}  // namespace

void stand_meshes(Standing& standing) {
  for (const MeshRecord& record : standing.imported.meshes) {
    hush();
    refuse_missing(record.path);
    open3d::geometry::TriangleMesh mesh;
    if (!open3d::io::ReadTriangleMesh(record.path, mesh) || mesh.triangles_.empty()) {
      throw InputError(record.source,
                       "holds no triangles that can be read; PLY, OBJ, STL and GLB are");
    }
    const FlatPoint p = standing.flat(record.place);
    const double ground = standing.ground_at(p);
    if (std::isnan(ground) && !record.elevation_m) {
      standing.drop(record.source, "off_ground", "mesh stands outside the ground raster");
      continue;
    }
    const double bottom = record.elevation_m ? standing.height_of(*record.elevation_m, p) : ground;
    // The mesh's y axis turns to the heading.
    const ScenePoint north = standing.scene.frame.direction(record.heading, {p.x_m, p.y_m, 0.0});
    const ObstacleId id = standing.open({.id = std::filesystem::path(record.path).stem().string(),
                                         .kind = ObstacleKind::object,
                                         .what = "mesh",
                                         .material = standing.material(record.material),
                                         .source = record.source,
                                         .species_class = {},
                                         .height_source = {},
                                         .crown = {}});
    MeshPen pen = standing.pen(id);
    std::vector<std::uint32_t> index;
    for (const Eigen::Vector3d& v : mesh.vertices_) {
      index.push_back(pen.vertex({p.x_m + v.x() * north.y_m + v.y() * north.x_m,
                                  p.y_m - v.x() * north.x_m + v.y() * north.y_m, bottom + v.z()}));
    }
    for (const Eigen::Vector3i& t : mesh.triangles_) {
      pen.triangle(index[static_cast<std::size_t>(t[0])], index[static_cast<std::size_t>(t[1])],
                   index[static_cast<std::size_t>(t[2])]);
    }
    standing.close(id);
  }
}

namespace {

constexpr double wall_reach_m = 0.7;  // a scan and a map of one wall differ by this
constexpr double above_roof_m = 2.0;  // chimneys and parapets still belong to the building

/// Whether a scanned point is a building's that the map has already.
bool is_mapped_building(const Scene& scene, const FootprintIndex& footprints, ScenePoint p) {
  for (const auto& [dx, dy] : {std::pair{0.0, 0.0},
                               {wall_reach_m, 0.0},
                               {-wall_reach_m, 0.0},
                               {0.0, wall_reach_m},
                               {0.0, -wall_reach_m}}) {
    const auto building = footprints.building_at(p.x_m + dx, p.y_m + dy);
    if (building && p.z_m < scene.obstacles[*building].top_m + above_roof_m) return true;
  }
  return false;
}

}  // namespace

void stand_point_clouds(Standing& standing) {
  if (standing.imported.point_clouds.empty()) return;
  const FootprintIndex footprints(standing.scene);
  for (const PointCloudRecord& record : standing.imported.point_clouds) {
    hush();
    refuse_missing(record.path);
    open3d::geometry::PointCloud cloud;
    if (!open3d::io::ReadPointCloud(record.path, cloud) || cloud.points_.empty()) {
      throw InputError(record.source, "holds no points that can be read; PLY, PCD and XYZ are");
    }
    std::vector<CloudPoint> points;
    std::size_t outside = 0, mapped = 0;
    for (const Eigen::Vector3d& v : cloud.points_) {
      const ScenePoint p =
          standing.scene.frame.scene_from_map(record.offset + MapPoint{v.x(), v.y(), v.z()});
      const double ground = standing.ground_at({p.x_m, p.y_m});
      if (std::isnan(ground) || !std::isfinite(p.z_m)) {
        ++outside;
        continue;
      }
      if (is_mapped_building(standing.scene, footprints, p)) {
        ++mapped;
        continue;
      }
      points.push_back({p, p.z_m - ground});
    }
    if (points.empty() && mapped == 0) {
      throw InputError(record.source,
                       "has no point on the site's ground; check offset_x_m, offset_y_m "
                       "and the CRS");
    }
    const CloudParts parts = segment_cloud(points, record.voxel_m);
    stand_cloud(standing, parts, record);
    standing.report.layers.push_back({.what = "point cloud",
                                      .path = record.path,
                                      .layer = "",
                                      .read = cloud.points_.size(),
                                      .used = points.size(),
                                      .outside = outside});
    standing.report.issues.push_back(
        {Severity::noted, record.source, "cloud_segmented",
         std::to_string(parts.poles.size()) + " poles and " + std::to_string(parts.crowns.size()) +
             " crowns were found; " + std::to_string(parts.voxels.size()) +
             " voxels of the rest block; " + std::to_string(mapped) +
             " points of mapped buildings were left out"});
  }
}

void write_ply(const std::string& path, const Scene& scene) {
  hush();
  open3d::geometry::TriangleMesh all;
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const TriangleMesh& mesh = scene.meshes[static_cast<std::size_t>(k)];
    const auto colour = kind_colour(static_cast<ObstacleKind>(k));
    const int first = static_cast<int>(all.vertices_.size());
    for (const ScenePoint p : mesh.vertices) {
      all.vertices_.emplace_back(p.x_m, p.y_m, p.z_m + scene.frame.drop_m(p.x_m, p.y_m));
      all.vertex_colors_.emplace_back(colour[0], colour[1], colour[2]);
    }
    for (const auto& [a, b, c] : mesh.triangles) {
      all.triangles_.emplace_back(first + static_cast<int>(a), first + static_cast<int>(b),
                                  first + static_cast<int>(c));
    }
  }
  if (!open3d::io::WriteTriangleMesh(path, all)) {
    throw InputError({path, "", -1}, "cannot be written");
  }
}

}  // namespace sim
