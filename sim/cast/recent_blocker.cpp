#include "sim/cast/recent_blocker.h"

#include <limits>

namespace sim {

void RecentBlocker::remember(const Kernel& kernel,
                             std::pair<ObstacleKind, std::uint32_t> triangle) {
  const TriangleMesh& mesh = kernel.street().mesh(triangle.first);
  const auto& index = mesh.triangles[triangle.second];
  const ScenePoint v0 = mesh.vertices[index[0]];
  const auto corner = [](ScenePoint p) {
    return Corner{static_cast<float>(p.x_m), static_cast<float>(p.y_m), static_cast<float>(p.z_m)};
  };
  v0_ = corner(v0);
  e1_ = corner(mesh.vertices[index[1]] - v0);
  e2_ = corner(mesh.vertices[index[2]] - v0);
  doubtful_share_ = kernel.doubtful_share(triangle.first, triangle.second);
}

bool RecentBlocker::mark_blocked(RTCRay8& rays, std::array<int, packet>& valid) const {
  // Where the ray meets the plane, by Cramer's rule on o + t d = v0 + u e1 + v e2; without
  // branches, so that the compiler takes several rays at once. A parallel ray gives NaN, which
  // blocks nothing.
  std::array<int, packet> blocked{};
  for (std::size_t i = 0; i < packet; ++i) {
    const float dx = rays.dir_x[i], dy = rays.dir_y[i], dz = rays.dir_z[i];
    const float px = dy * e2_.z - dz * e2_.y, py = dz * e2_.x - dx * e2_.z,
                pz = dx * e2_.y - dy * e2_.x;
    const float inverse = 1.0F / (e1_.x * px + e1_.y * py + e1_.z * pz);
    const float sx = rays.org_x[i] - v0_.x, sy = rays.org_y[i] - v0_.y, sz = rays.org_z[i] - v0_.z;
    const float u = (sx * px + sy * py + sz * pz) * inverse;
    const float qx = sy * e1_.z - sz * e1_.y, qy = sz * e1_.x - sx * e1_.z,
                qz = sx * e1_.y - sy * e1_.x;
    const float v = (dx * qx + dy * qy + dz * qz) * inverse;
    const float t = (e2_.x * qx + e2_.y * qy + e2_.z * qz) * inverse;
    const float w = 1.0F - u - v;
    const float d = doubtful_share_;
    blocked[i] = static_cast<int>(u > d) & static_cast<int>(v > d) & static_cast<int>(w > d) &
                 static_cast<int>(t > rays.tnear[i]) & static_cast<int>(t < rays.tfar[i]);
  }
  int left = 0;
  for (std::size_t i = 0; i < packet; ++i) {
    if ((blocked[i] & -valid[i]) != 0) {
      rays.tfar[i] = -std::numeric_limits<float>::infinity();
      valid[i] = 0;
    }
    left |= valid[i];
  }
  return left != 0;
}

}  // namespace sim
