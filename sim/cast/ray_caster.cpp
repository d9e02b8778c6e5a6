#include "sim/cast/ray_caster.h"

#include <embree3/rtcore.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/parallel.h"
#include "sim/cast/building_blocks.h"
#include "sim/cast/kernel.h"
#include "sim/cast/profiler.h"
#include "sim/cast/queries.h"
#include "sim/cast/recent_blocker.h"

namespace sim {

struct RayCaster::Hidden {
  Hidden(const Scene& scene, const std::string& config)
      : kernel(scene, config), shapes(scene), blocks(scene, shapes), profiler(kernel, shapes) {}
  Kernel kernel;
  UprightShapes shapes;
  BuildingBlocks blocks;
  Profiler profiler;
};

RayCaster::RayCaster(const Scene& scene, const std::string& device_config)
    : hidden_(std::make_unique<Hidden>(scene, device_config)) {}
RayCaster::~RayCaster() = default;
RayCaster::RayCaster(RayCaster&&) noexcept = default;

const Scene& RayCaster::scene() const { return hidden_->kernel.street(); }

const BuildingBlocks& RayCaster::blocks() const { return hidden_->blocks; }

bool RayCaster::is_clear(ScenePoint a, ScenePoint b, const Transparent& through) const noexcept {
  return !thing_between(a, b, through);
}

std::optional<ObstacleId> RayCaster::thing_between(ScenePoint a, ScenePoint b,
                                                   const Transparent& through) const noexcept {
  const Segment segment{a, b};
  QueryContext query = query_for(hidden_->kernel, &segment, through, refuse_false_hits);
  RTCRay ray = kernel_ray(a, b, through.blocking);
  if (ray.tnear >= ray.tfar) return std::nullopt;
  rtcOccluded1(hidden_->kernel.scene(), &query.kernel, &ray);
  if (ray.tfar >= 0.0F) return std::nullopt;
  return scene().mesh(query.stood.first).obstacle_of_triangle[query.stood.second];
}

std::optional<RayCaster::Blocker> RayCaster::blocker(ScenePoint a, ScenePoint b,
                                                     KindMask blocking) const noexcept {
  const Segment segment{a, b};
  QueryContext query = query_for(hidden_->kernel, &segment, {.blocking = blocking, .ignored = {}},
                                 refuse_false_hits);
  RTCRay ray = kernel_ray(a, b, blocking);
  if (ray.tnear >= ray.tfar) return std::nullopt;
  rtcOccluded1(hidden_->kernel.scene(), &query.kernel, &ray);
  if (!query.blocker) return std::nullopt;
  return Blocker{query.blocker->first, query.blocker->second};
}

namespace {

/// kernel_ray for eight segments at once, in loops that become vector instructions; missing ones
/// repeat the last. A ray whose ends nearly meet is not valid.
void fill_packet(std::span<const Segment> segments, KindMask mask, RTCRay8& rays,
                 std::array<int, packet>& valid) {
  std::array<const Segment*, packet> of{};
  for (std::size_t i = 0; i < packet; ++i) of[i] = &segments[std::min(i, segments.size() - 1)];
  for (std::size_t i = 0; i < packet; ++i) {
    const ScenePoint a = of[i]->a, b = of[i]->b;
    rays.org_x[i] = static_cast<float>(a.x_m);
    rays.org_y[i] = static_cast<float>(a.y_m);
    rays.org_z[i] = static_cast<float>(a.z_m);
    rays.dir_x[i] = static_cast<float>(b.x_m - a.x_m);
    rays.dir_y[i] = static_cast<float>(b.y_m - a.y_m);
    rays.dir_z[i] = static_cast<float>(b.z_m - a.z_m);
  }
  constexpr auto gap = static_cast<float>(RayCaster::endpoint_gap_m);
  for (std::size_t i = 0; i < packet; ++i) {
    const float square = rays.dir_x[i] * rays.dir_x[i] + rays.dir_y[i] * rays.dir_y[i] +
                         rays.dir_z[i] * rays.dir_z[i];
    const float share = gap / std::sqrt(square + 1e-30F);
    rays.tnear[i] = std::min(share, 0.5F);
    rays.tfar[i] = 1.0F - rays.tnear[i];
    rays.time[i] = 0.0F;
    rays.mask[i] = mask;
    rays.id[i] = static_cast<unsigned>(i);
    rays.flags[i] = 0;
    valid[i] = rays.tnear[i] < 0.5F && i < segments.size() ? -1 : 0;
  }
}

}  // namespace

void RayCaster::is_clear(std::span<const Segment> segments, std::span<std::uint8_t> clear,
                         const Transparent& through) const {
  constexpr std::size_t block = 4096;
  parallel_blocks(segments.size(), block, [&](std::size_t begin, std::size_t end) {
    RTCRay8 rays;
    alignas(32) std::array<int, packet> valid{};
    RecentBlocker blocker;
    QueryContext query = query_for(hidden_->kernel, nullptr, through, refuse_false_hits);
    query.kernel.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
    for (std::size_t first = begin; first < end; first += packet) {
      const std::size_t count = std::min(packet, end - first);
      fill_packet(segments.subspan(first, count), through.blocking, rays, valid);
      query.segments = &segments[first];
      // What blocked the neighbours often blocks these too; the kernel gets the rest.
      if (blocker.mark_blocked(rays, valid)) {
        rtcOccluded8(valid.data(), hidden_->kernel.scene(), &query.kernel, &rays);
        if (query.blocker) blocker.remember(hidden_->kernel, *query.blocker);
        query.blocker.reset();
      }
      for (std::size_t i = 0; i < count; ++i) {
        clear[first + i] = rays.tfar[i] >= 0.0F ? 1 : 0;
      }
    }
  });
}

std::vector<Crossing> RayCaster::crossings(ScenePoint a, ScenePoint b,
                                           const Transparent& through) const {
  return hidden_->profiler.crossings(a, b, through);
}

PathProfile RayCaster::profile(ScenePoint a, ScenePoint b, double wavelength_m,
                               const Transparent& through) const {
  return hidden_->profiler.profile(a, b, wavelength_m, through);
}

double fresnel_radius_m(double wavelength_m, double d1_m, double d2_m, int n) noexcept {
  const double sum = d1_m + d2_m;
  return sum > 0.0 ? std::sqrt(n * wavelength_m * d1_m * d2_m / sum) : 0.0;
}

std::string ray_kernel_version() { return "Embree " RTC_VERSION_STRING; }

}  // namespace sim
