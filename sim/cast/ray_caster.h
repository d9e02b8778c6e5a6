// What lies between two points. The only user of the ray kernel.
#pragma once

#include <algorithm>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

struct Segment {
  ScenePoint a, b;
};

/// What a ray may pass as if it were air: kinds not in the mask, and single things (a node's own
/// pole).
struct Transparent {
  KindMask blocking = opaque_mask;
  std::span<const ObstacleId> ignored;

  bool ignores(ObstacleId id) const {
    return std::find(ignored.begin(), ignored.end(), id) != ignored.end();
  }
};

/// How far a thing's silhouette reaches from the path, seen along it from a: its top over the ray
/// and its bottom under it (vertically), its sides to the left and right (horizontally). Positive
/// where it reaches past the ray on that side; all four are for a thing that blocks. Of several
/// edges on one side, the one that obstructs most decides (the greatest Fresnel parameter); the
/// `at` values tell where along the path it stands.
struct Outline {
  double above_m = 0.0, below_m = 0.0, left_m = 0.0, right_m = 0.0;
  double above_at_m = 0.0, below_at_m = 0.0, left_at_m = 0.0, right_at_m = 0.0;
};

/// One thing on the direct path. Distances along the path from a, enter <= exit.
struct Crossing {
  ObstacleId obstacle = no_obstacle;
  double enter_m = 0.0, exit_m = 0.0;
  double inside_m = 0.0;  ///< length within it (chord); differs from exit - enter for hollow shapes
  Outline outline;        ///< zeros for foliage, which has no edge
};

/// An opaque thing other than the ground that the path passes, near enough to disturb the wave.
struct Passing {
  ObstacleId obstacle = no_obstacle;
  Outline outline;
};

/// Signed distance between the direct path and the nearest edge that matters, by the measure of the
/// first Fresnel zone. Positive: free by that much; negative: blocked, and that much short of free.
struct Clearance {
  double clearance_m = 0.0;    ///< infinity when nothing is near
  double fresnel_radii = 0.0;  ///< clearance / first-zone radius there
  double at_m = 0.0;           ///< along the path from a
  ObstacleId nearest = no_obstacle;
};

/// Everything between a and b, ordered from a.
struct PathProfile {
  ScenePoint a, b;
  double length_m = 0.0;
  std::vector<Crossing> crossings;  ///< opaque and foliage, merged per obstacle
  std::vector<Passing> passing;     ///< opaque, not crossed, within two first-zone radii
  Clearance clearance;              ///< of opaque things, nearest in first-zone radii
  Clearance wide_clearance;         ///< of ground and buildings alone
};

class BuildingBlocks;

class RayCaster {
 public:
  /// `device_config` goes to the kernel ("isa=sse2"); empty = its own choice.
  explicit RayCaster(const Scene& scene, const std::string& device_config = {});
  ~RayCaster();
  RayCaster(RayCaster&&) noexcept;

  /// True when nothing in the mask crosses the open segment. Points must be finite.
  bool is_clear(ScenePoint a, ScenePoint b, const Transparent& through = {}) const noexcept;

  /// Something that crosses the open segment (any, not the nearest); nullopt when it is clear.
  std::optional<ObstacleId> thing_between(ScenePoint a, ScenePoint b,
                                          const Transparent& through = {}) const noexcept;

  /// The same for many segments: clear[i] = 1 or 0. On all threads.
  void is_clear(std::span<const Segment> segments, std::span<std::uint8_t> clear,
                const Transparent& through = {}) const;

  /// A triangle that surely stands between a and b, by far more than float rounding: any, not the
  /// nearest. nullopt when there is none, or none that is beyond doubt.
  struct Blocker {
    ObstacleKind kind;
    std::uint32_t triangle;
  };
  std::optional<Blocker> blocker(ScenePoint a, ScenePoint b, KindMask blocking) const noexcept;

  /// Everything along the segment, and the clearance for a wave of this wavelength.
  PathProfile profile(ScenePoint a, ScenePoint b, double wavelength_m,
                      const Transparent& through = {.blocking = everything_mask,
                                                    .ignored = {}}) const;

  /// What crosses the segment, with outlines: profile() without what is only near.
  std::vector<Crossing> crossings(ScenePoint a, ScenePoint b, const Transparent& through) const;

  const Scene& scene() const;

  /// Which buildings stand wall to wall.
  const BuildingBlocks& blocks() const;

  /// Ends of a ray are pulled in by this much, so that a surface one stands on does not block.
  static constexpr double endpoint_gap_m = 0.005;

 private:
  struct Hidden;
  std::unique_ptr<Hidden> hidden_;
};

/// Radius of the n-th Fresnel zone at d1, d2 from the ends: sqrt(n lambda d1 d2 / (d1 + d2)).
/// Source: [P.526] section 2, exact form.
double fresnel_radius_m(double wavelength_m, double d1_m, double d2_m, int n = 1) noexcept;

/// Names and versions for `--version`.
std::string ray_kernel_version();

}  // namespace sim
