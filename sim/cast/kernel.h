// The ray kernel's scene: one geometry per kind of obstacle. Only for the sources of this room.
#pragma once

#include <embree3/rtcore.h>

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

 private:
  void attach(ObstacleKind kind);

  const Scene* street_;
  RTCDevice device_ = nullptr;
  RTCScene scene_ = nullptr;
};

/// What one query carries to the kernel's filters.
struct QueryContext {
  RTCIntersectContext kernel;  // must be first: the kernel hands back its address
  const Scene* street = nullptr;
  std::span<const ObstacleId> ignored;
  const Segment* segments = nullptr;  ///< the true rays in double, by ray id
  std::vector<Hit>* hits = nullptr;   ///< collecting all hits, else null
};

/// A ray from a to b with both ends pulled in by the gap. Length 0 when the points nearly meet.
RTCRay kernel_ray(ScenePoint a, ScenePoint b, KindMask mask);

/// Distance along a + t * direction (unit) to the triangle's plane hit, if it passes through it
/// within `slack_m` of its edges, in double.
struct ExactHit {
  double along_m;
  double edge_distance_m;  ///< inside positive, outside negative: to the nearest edge in its plane
  bool entering;
};
std::optional<ExactHit> exact_hit(const TriangleMesh& mesh, std::uint32_t triangle, ScenePoint a,
                                  ScenePoint direction) noexcept;

}  // namespace sim
