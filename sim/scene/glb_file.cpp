#include <tiny_gltf.h>

#include <algorithm>
#include <cstring>

#include "sim/scene/kind_colours.h"
#include "sim/scene/mesh_files.h"

namespace sim {
namespace {

/// Appends values to the one binary buffer, aligned as glTF asks, as a view of it.
template <class T>
int add_view(tinygltf::Model& model, const std::vector<T>& values, int target) {
  auto& data = model.buffers[0].data;
  data.resize((data.size() + 3) / 4 * 4);
  tinygltf::BufferView view;
  view.buffer = 0;
  view.byteOffset = data.size();
  view.byteLength = values.size() * sizeof(T);
  view.target = target;
  data.resize(data.size() + view.byteLength);
  std::memcpy(data.data() + view.byteOffset, values.data(), view.byteLength);
  model.bufferViews.push_back(view);
  return static_cast<int>(model.bufferViews.size()) - 1;
}

int add_accessor(tinygltf::Model& model, int view, int component, int type, std::size_t count,
                 std::vector<double> low, std::vector<double> high) {
  tinygltf::Accessor accessor;
  accessor.bufferView = view;
  accessor.componentType = component;
  accessor.type = type;
  accessor.count = count;
  accessor.minValues = std::move(low);
  accessor.maxValues = std::move(high);
  model.accessors.push_back(accessor);
  return static_cast<int>(model.accessors.size()) - 1;
}

/// East, north, up to glTF's right, up, back: x, z, -y.
tinygltf::Primitive primitive(tinygltf::Model& model, const TriangleMesh& mesh,
                              const SceneFrame& frame) {
  std::vector<float> positions;
  std::vector<double> low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
  for (const ScenePoint p : mesh.vertices) {
    const double up = p.z_m + frame.drop_m(p.x_m, p.y_m);
    for (const double v : {p.x_m, up, -p.y_m}) positions.push_back(static_cast<float>(v));
    for (std::size_t i = 0; i < 3; ++i) {
      const auto v = static_cast<double>(positions[positions.size() - 3 + i]);
      low[i] = std::min(low[i], v);
      high[i] = std::max(high[i], v);
    }
  }
  std::vector<std::uint32_t> indices;
  for (const auto& triangle : mesh.triangles)
    indices.insert(indices.end(), triangle.begin(), triangle.end());
  const auto [least, most] = std::minmax_element(indices.begin(), indices.end());
  tinygltf::Primitive result;
  result.mode = TINYGLTF_MODE_TRIANGLES;
  result.attributes["POSITION"] = add_accessor(
      model, add_view(model, positions, TINYGLTF_TARGET_ARRAY_BUFFER),
      TINYGLTF_COMPONENT_TYPE_FLOAT, TINYGLTF_TYPE_VEC3, mesh.vertices.size(), low, high);
  result.indices =
      add_accessor(model, add_view(model, indices, TINYGLTF_TARGET_ELEMENT_ARRAY_BUFFER),
                   TINYGLTF_COMPONENT_TYPE_UNSIGNED_INT, TINYGLTF_TYPE_SCALAR, indices.size(),
                   {static_cast<double>(*least)}, {static_cast<double>(*most)});
  return result;
}

tinygltf::Value::Object obstacle_extras(const Scene& scene, ObstacleKind kind) {
  tinygltf::Value::Array list;
  for (const Obstacle& obstacle : scene.obstacles) {
    if (obstacle.kind != kind) continue;
    list.emplace_back(tinygltf::Value::Object{
        {"id", tinygltf::Value(obstacle.id)},
        {"source", tinygltf::Value(to_string(obstacle.source))},
        {"first_triangle", tinygltf::Value(static_cast<int>(obstacle.first_triangle))},
        {"triangle_count", tinygltf::Value(static_cast<int>(obstacle.triangle_count))}});
  }
  return {{"obstacles", tinygltf::Value(list)}};
}

}  // namespace

void write_glb(const std::string& path, const Scene& scene) {
  tinygltf::Model model;
  model.asset.version = "2.0";
  model.asset.generator = "kerbray";
  model.buffers.emplace_back();
  tinygltf::Scene root;
  root.name = "scene";
  root.extras = tinygltf::Value(
      tinygltf::Value::Object{{"crs_wkt", tinygltf::Value(scene.frame.crs_wkt)},
                              {"origin_x_m", tinygltf::Value(scene.frame.origin.x_m)},
                              {"origin_y_m", tinygltf::Value(scene.frame.origin.y_m)},
                              {"origin_elevation_m", tinygltf::Value(scene.frame.origin.z_m)}});
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const auto kind = static_cast<ObstacleKind>(k);
    if (scene.mesh(kind).triangles.empty()) continue;
    const auto colour = kind_colour(kind);
    tinygltf::Material material;
    material.name = std::string(to_string(kind));
    material.pbrMetallicRoughness.baseColorFactor = {colour[0], colour[1], colour[2],
                                                     is_foliage(kind) ? 0.6 : 1.0};
    material.pbrMetallicRoughness.metallicFactor = 0.0;
    material.pbrMetallicRoughness.roughnessFactor = 0.9;
    material.alphaMode = is_foliage(kind) ? "BLEND" : "OPAQUE";
    material.doubleSided = true;
    model.materials.push_back(material);
    tinygltf::Mesh mesh;
    mesh.name = material.name;
    mesh.primitives.push_back(primitive(model, scene.mesh(kind), scene.frame));
    mesh.primitives.back().material = static_cast<int>(model.materials.size()) - 1;
    model.meshes.push_back(mesh);
    tinygltf::Node node;
    node.name = material.name;
    node.mesh = static_cast<int>(model.meshes.size()) - 1;
    node.extras = tinygltf::Value(obstacle_extras(scene, kind));
    model.nodes.push_back(node);
    root.nodes.push_back(static_cast<int>(model.nodes.size()) - 1);
  }
  model.scenes.push_back(root);
  model.defaultScene = 0;
  tinygltf::TinyGLTF writer;
  if (!writer.WriteGltfSceneToFile(&model, path, false, true, false, true)) {
    throw InputError({path, "", -1}, "cannot be written");
  }
}

}  // namespace sim
