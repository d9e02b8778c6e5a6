#include "sim/cast/kernel.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "sim/base/check.h"

namespace sim {
namespace {

/// doubtful_edge_m as a share of the triangle's least height; 1 for a sliver, where all is
/// doubtful.
float share_within_doubt(const TriangleMesh& mesh, const std::array<std::uint32_t, 3>& index) {
  const ScenePoint a = mesh.vertices[index[0]], b = mesh.vertices[index[1]],
                   c = mesh.vertices[index[2]];
  const ScenePoint normal = cross(b - a, c - a);
  const double longest =
      std::sqrt(std::max({dot(b - a, b - a), dot(c - b, c - b), dot(a - c, a - c)}));
  const double least_height = longest > 0.0 ? std::sqrt(dot(normal, normal)) / longest : 0.0;
  constexpr double rounding = 1e-5;  // of the coordinates themselves
  return least_height > 0.0
             ? static_cast<float>(std::min(1.0, Kernel::doubtful_edge_m / least_height + rounding))
             : 1.0F;
}

void report_error(void*, RTCError code, const char* text) {
  std::fprintf(stderr, "ray kernel error %d: %s\n", static_cast<int>(code), text);
}

}  // namespace

Kernel::Kernel(const Scene& scene, const std::string& device_config)
    : street_(&scene),
      device_(rtcNewDevice(device_config.empty() ? nullptr : device_config.c_str())) {
  SIM_CHECK(device_ != nullptr);
  rtcSetDeviceErrorFunction(device_, report_error, nullptr);
  // Without masks every ray would meet every kind.
  SIM_CHECK(rtcGetDeviceProperty(device_, RTC_DEVICE_PROPERTY_RAY_MASK_SUPPORTED) == 1);
  SIM_CHECK(rtcGetDeviceProperty(device_, RTC_DEVICE_PROPERTY_FILTER_FUNCTION_SUPPORTED) == 1);
  scene_ = rtcNewScene(device_);
  rtcSetSceneFlags(scene_, static_cast<RTCSceneFlags>(RTC_SCENE_FLAG_ROBUST |
                                                      RTC_SCENE_FLAG_CONTEXT_FILTER_FUNCTION));
  rtcSetSceneBuildQuality(scene_, RTC_BUILD_QUALITY_HIGH);
  for (int k = 0; k < obstacle_kind_count; ++k) attach(static_cast<ObstacleKind>(k));
  rtcCommitScene(scene_);
  SIM_CHECK(rtcGetDeviceError(device_) == RTC_ERROR_NONE);
}

void Kernel::attach(ObstacleKind kind) {
  const TriangleMesh& mesh = street_->mesh(kind);
  if (mesh.triangles.empty()) return;
  RTCGeometry geometry = rtcNewGeometry(device_, RTC_GEOMETRY_TYPE_TRIANGLE);
  auto* vertices = static_cast<float*>(rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0,
                                                               RTC_FORMAT_FLOAT3, 3 * sizeof(float),
                                                               mesh.vertices.size()));
  auto* indices = static_cast<std::uint32_t*>(
      rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                              3 * sizeof(std::uint32_t), mesh.triangles.size()));
  SIM_CHECK(vertices != nullptr && indices != nullptr);
  for (const ScenePoint p : mesh.vertices) {
    *vertices++ = static_cast<float>(p.x_m);
    *vertices++ = static_cast<float>(p.y_m);
    *vertices++ = static_cast<float>(p.z_m);
  }
  for (const auto& triangle : mesh.triangles) {
    for (const std::uint32_t v : triangle) *indices++ = v;
  }
  auto& shares = doubtful_share_[static_cast<std::size_t>(kind)];
  shares.reserve(mesh.triangles.size());
  for (const auto& triangle : mesh.triangles) shares.push_back(share_within_doubt(mesh, triangle));
  rtcSetGeometryMask(geometry, mask_of(kind));
  rtcCommitGeometry(geometry);
  rtcAttachGeometryByID(scene_, geometry, static_cast<unsigned>(kind));
  rtcReleaseGeometry(geometry);
}

Kernel::~Kernel() {
  rtcReleaseScene(scene_);
  rtcReleaseDevice(device_);
}

RTCRay kernel_ray(ScenePoint a, ScenePoint b, KindMask mask) {
  const ScenePoint way = b - a;
  const double length = std::sqrt(dot(way, way));  // hypot costs as much as a cast ray
  const double gap = RayCaster::endpoint_gap_m;
  RTCRay ray;
  ray.org_x = static_cast<float>(a.x_m);
  ray.org_y = static_cast<float>(a.y_m);
  ray.org_z = static_cast<float>(a.z_m);
  // The direction keeps its length, so that distances along the ray are shares of it.
  ray.dir_x = static_cast<float>(b.x_m - a.x_m);
  ray.dir_y = static_cast<float>(b.y_m - a.y_m);
  ray.dir_z = static_cast<float>(b.z_m - a.z_m);
  ray.tnear = length > 2.0 * gap ? static_cast<float>(gap / length) : 0.5F;
  ray.tfar = length > 2.0 * gap ? static_cast<float>(1.0 - gap / length) : 0.5F;
  ray.time = 0.0F;
  ray.mask = mask;
  ray.id = 0;
  ray.flags = 0;
  return ray;
}

std::optional<PlaneHit> plane_hit(const TriangleMesh& mesh, std::uint32_t triangle, ScenePoint a,
                                  ScenePoint direction) noexcept {
  const auto& index = mesh.triangles[triangle];
  const ScenePoint v0 = mesh.vertices[index[0]];
  const ScenePoint normal = cross(mesh.vertices[index[1]] - v0, mesh.vertices[index[2]] - v0);
  const double facing = dot(normal, direction);
  // |facing| < 1e-14 |normal|: the ray runs within the plane.
  if (facing * facing <= 1e-28 * dot(normal, normal)) return std::nullopt;
  return PlaneHit{.along_m = dot(normal, v0 - a) / facing, .entering = facing < 0.0};
}

std::optional<ExactHit> exact_hit(const TriangleMesh& mesh, std::uint32_t triangle, ScenePoint a,
                                  ScenePoint direction) noexcept {
  const auto plane = plane_hit(mesh, triangle, a, direction);
  if (!plane) return std::nullopt;
  const auto& index = mesh.triangles[triangle];
  const ScenePoint v0 = mesh.vertices[index[0]], v1 = mesh.vertices[index[1]],
                   v2 = mesh.vertices[index[2]];
  const ScenePoint normal = cross(v1 - v0, v2 - v0);
  const double twice_area = std::sqrt(dot(normal, normal));
  const ScenePoint p = a + plane->along_m * direction;
  double edge = std::numeric_limits<double>::infinity();
  for (const auto& [from, to] : {std::pair{v0, v1}, {v1, v2}, {v2, v0}}) {
    const ScenePoint side = to - from;
    const double inside = dot(cross(side, p - from), normal) / twice_area;
    edge = std::min(edge, inside / std::sqrt(dot(side, side)));
  }
  return ExactHit{.along_m = plane->along_m, .edge_distance_m = edge, .entering = plane->entering};
}

}  // namespace sim
