// The triangle that blocked the last packet of rays. Only for the sources of this room.
#pragma once

#include <array>

#include "sim/cast/kernel.h"

namespace sim {

/// Rays that go through the kernel together: neighbouring cells take nearly the same way.
inline constexpr std::size_t packet = 8;

class RecentBlocker {
 public:
  void remember(const Kernel& kernel, std::pair<ObstacleKind, std::uint32_t> triangle);

  /// Marks the valid rays that the triangle blocks beyond doubt as the kernel would (tfar = -inf)
  /// and takes them out of `valid`. True when rays are left for the kernel.
  bool mark_blocked(RTCRay8& rays, std::array<int, packet>& valid) const;

 private:
  struct Corner {
    float x = 0.0F, y = 0.0F, z = 0.0F;
  };
  Corner v0_, e1_, e2_;
  float doubtful_share_ = 2.0F;  ///< no barycentric coordinate is above it
};

}  // namespace sim
