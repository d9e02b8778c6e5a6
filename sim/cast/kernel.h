// The ray kernel's scene: one geometry per kind of obstacle. Only for the sources of this room.
#pragma once

#include <embree3/rtcore.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "sim/cast/ray_caster.h"

namespace sim {

/// A hit of the kernel, recomputed in double.
struct Hit {
  double along_m = 0.0;
  ObstacleId obstacle = no_obstacle;
  std::uint32_t triangle = 0;
  bool entering = false;  ///< against the outward normal
};

/// Owns the device and the committed scene; geometry id = ObstacleKind.
class Kernel {
 public:
  Kernel(const Scene& scene, const std::string& device_config);
  ~Kernel();
  Kernel(const Kernel&) = delete;
  Kernel& operator=(const Kernel&) = delete;

  RTCScene scene() const { return scene_; }
  const Scene& street() const { return *street_; }

  /// Whether a hit by its barycentric coordinates is so far inside the triangle that float rounding
  /// cannot have made it.
  bool is_beyond_doubt(unsigned kind, std::uint32_t triangle, float u, float v) const {
    return std::min({u, v, 1.0F - u - v}) > doubtful_share_[kind][triangle];
  }
  float doubtful_share(ObstacleKind kind, std::uint32_t triangle) const {
    return doubtful_share_[static_cast<std::size_t>(kind)][triangle];
  }

  /// A kernel hit nearer to a triangle's edge than this is decided again in double: a few float
  /// steps at a kilometre from the origin.
  static constexpr double doubtful_edge_m = 5e-4;

 private:
  void attach(ObstacleKind kind);

  const Scene* street_;
  /// Per kind and triangle: doubtful_edge_m over the least height, so that a barycentric coordinate
  /// above it is farther than that from its edge.
  std::array<std::vector<float>, obstacle_kind_count> doubtful_share_;
  RTCDevice device_ = nullptr;
  RTCScene scene_ = nullptr;
};

class UprightShapes;

/// What one query carries to the kernel's filters.
struct QueryContext {
  RTCIntersectContext kernel;  // must be first: the kernel hands back its address
  const Kernel* owner = nullptr;
  std::span<const ObstacleId> ignored;
  const Segment* segments = nullptr;       ///< the true rays in double, by ray id
  std::vector<Hit>* hits = nullptr;        ///< collecting all hits, else null
  const UprightShapes* upright = nullptr;  ///< collecting: things that are passed, else null
  /// A triangle that surely blocked one of the rays last, when looking for any.
  std::optional<std::pair<ObstacleKind, std::uint32_t>> blocker;
  /// The triangle whose hit stood last, sure or decided in double.
  std::pair<ObstacleKind, std::uint32_t> stood{};
};

/// A ray from a to b with both ends pulled in by the gap. Length 0 when the points nearly meet.
RTCRay kernel_ray(ScenePoint a, ScenePoint b, KindMask mask);

/// Where the line a + t * direction (unit) meets a triangle's plane, in double; nullopt along it.
struct PlaneHit {
  double along_m;
  bool entering;
};
std::optional<PlaneHit> plane_hit(const TriangleMesh& mesh, std::uint32_t triangle, ScenePoint a,
                                  ScenePoint direction) noexcept;

/// The same, and how far inside the triangle.
struct ExactHit {
  double along_m;
  double edge_distance_m;  ///< inside positive, outside negative: to the nearest edge in its plane
  bool entering;
};
std::optional<ExactHit> exact_hit(const TriangleMesh& mesh, std::uint32_t triangle, ScenePoint a,
                                  ScenePoint direction) noexcept;

}  // namespace sim
