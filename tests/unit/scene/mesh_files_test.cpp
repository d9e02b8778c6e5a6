// The scene's files read back by the library that other 3D programs stand on.
#include "sim/scene/mesh_files.h"

#include <gtest/gtest.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/io/TriangleMeshIO.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/scene/scene_builder.h"
#include "tests/support/temp_folder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

std::size_t triangles_of(const Scene& scene) {
  std::size_t count = 0;
  for (const TriangleMesh& mesh : scene.meshes) count += mesh.triangles.size();
  return count;
}

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

struct MeshFiles : testing::Test {
  ImportedSite site = test::town(3, {.blocks = 2});
  ImportReport report;
  Scene scene = build_scene(site, report);
  std::string path(const std::string& name) const { return (own_folder() / name).string(); }
};

TEST_F(MeshFiles, PlyHoldsEveryTriangle) {
  write_ply(path("town.ply"), scene);
  open3d::geometry::TriangleMesh mesh;
  ASSERT_TRUE(open3d::io::ReadTriangleMesh(path("town.ply"), mesh));
  EXPECT_EQ(mesh.triangles_.size(), triangles_of(scene));
  double top = 0.0;
  for (const Obstacle& o : scene.obstacles) top = std::max(top, o.top_m);
  EXPECT_NEAR(mesh.GetMaxBound().z(), top, 0.01);
}

TEST_F(MeshFiles, GlbHoldsEveryTriangleWithYUp) {
  write_glb(path("town.glb"), scene);
  open3d::geometry::TriangleMesh mesh;
  ASSERT_TRUE(open3d::io::ReadTriangleMesh(path("town.glb"), mesh));
  EXPECT_EQ(mesh.triangles_.size(), triangles_of(scene));
  double top = 0.0;
  for (const Obstacle& o : scene.obstacles) top = std::max(top, o.top_m);
  EXPECT_NEAR(mesh.GetMaxBound().y(), top, 0.01);  // glTF 2.0: y up
}

TEST_F(MeshFiles, TheSameSceneGivesTheSameBytes) {
  for (const char* kind : {"ply", "glb"}) {
    const std::string one = path(std::string("one.") + kind),
                      two = path(std::string("two.") + kind);
    const bool ply = std::string(kind) == "ply";
    (ply ? write_ply : write_glb)(one, scene);
    (ply ? write_ply : write_glb)(two, scene);
    EXPECT_EQ(bytes_of(one), bytes_of(two)) << kind;
    EXPECT_GT(bytes_of(one).size(), 1000U) << kind;
  }
}

}  // namespace
}  // namespace sim
