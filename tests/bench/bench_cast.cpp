// How fast the rays are: beside the kernel's own speed on the same rays, and for whole jobs.
#include <benchmark/benchmark.h>
#include <embree3/rtcore.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <memory>

#include "sim/base/parallel.h"
#include "sim/cast/kernel.h"
#include "sim/cast/ray_caster.h"
#include "sim/import/records.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"
#include "tests/support/west_village.h"

namespace {

using namespace sim;

/// From above the roofs, buildings only.
ImportedSite west_village() { return test::west_village(-74.00586, 40.73645, 40.0, false); }

struct Stage {
  Scene scene;
  std::unique_ptr<RayCaster> caster;
  std::vector<Segment> grid;  ///< 600 m x 600 m at 1 m from one place
};

/// Rays row by row, as a grid is walked.
Stage staged(const ImportedSite& site) {
  Stage stage;
  ImportReport report;
  stage.scene = build_scene(site, report);
  stage.caster = std::make_unique<RayCaster>(stage.scene);
  const ScenePoint node = stage.scene.nodes.at(0).position;
  for (int y = -300; y < 300; ++y) {
    for (int x = -300; x < 300; ++x) {
      const double px = node.x_m + x + 0.5, py = node.y_m + y + 0.5;
      const double ground = stage.scene.ground.height_at(px, py);
      stage.grid.push_back({node, {px, py, (std::isnan(ground) ? 0.0 : ground) + 1.5}});
    }
  }
  return stage;
}

const Stage& stage_of(int which) {
  static const Stage town = staged(test::town(1, {.blocks = 12}));
  if (which == 0) return town;
  static const Stage village = staged(west_village());
  return village;
}

bool missing(benchmark::State& state) {
  if (state.range(0) == 0 || test::has_west_village()) return false;
  state.SkipWithError("no open data");
  return true;
}

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// The kernel alone, rays prepared, no filter, eight at a time.
void raw_packets(RTCScene scene, std::vector<RTCRay8>& packets) {
  parallel_blocks(packets.size(), 512, [&](std::size_t begin, std::size_t end) {
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
    alignas(32) const int valid[8] = {-1, -1, -1, -1, -1, -1, -1, -1};
    for (std::size_t i = begin; i < end; ++i) rtcOccluded8(valid, scene, &context, &packets[i]);
  });
}
void raw_rays(RTCScene scene, std::vector<RTCRay>& rays) {
  parallel_blocks(rays.size(), 4096, [&](std::size_t begin, std::size_t end) {
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    for (std::size_t i = begin; i < end; ++i) rtcOccluded1(scene, &context, &rays[i]);
  });
}

/// 0 = invented town, 1 = West Village. Counter `ratio`: our rays/s over the kernel's best.
void sight_grid(benchmark::State& state) {
  if (missing(state)) return;
  const Stage& stage = stage_of(static_cast<int>(state.range(0)));
  const Kernel kernel(stage.scene, "");
  std::vector<std::uint8_t> clear(stage.grid.size());
  std::vector<RTCRay> rays;
  for (const Segment& s : stage.grid) rays.push_back(kernel_ray(s.a, s.b, opaque_mask));
  std::vector<RTCRay8> packets(rays.size() / 8);
  for (std::size_t i = 0; i < packets.size() * 8; ++i) {
    RTCRay8& p = packets[i / 8];
    const RTCRay& r = rays[i];
    const std::size_t k = i % 8;
    p.org_x[k] = r.org_x, p.org_y[k] = r.org_y, p.org_z[k] = r.org_z, p.tnear[k] = r.tnear;
    p.dir_x[k] = r.dir_x, p.dir_y[k] = r.dir_y, p.dir_z[k] = r.dir_z, p.time[k] = 0.0F;
    p.tfar[k] = r.tfar, p.mask[k] = r.mask, p.id[k] = 0, p.flags[k] = 0;
  }
  double ours = 1e9, ones = 1e9, eights = 1e9;
  for (auto _ : state) {
    auto start = std::chrono::steady_clock::now();
    stage.caster->is_clear(stage.grid, clear);
    const double elapsed = seconds_since(start);
    state.SetIterationTime(elapsed);
    ours = std::min(ours, elapsed);
    auto fresh_packets = packets;
    start = std::chrono::steady_clock::now();
    raw_packets(kernel.scene(), fresh_packets);
    eights = std::min(eights, seconds_since(start));
    auto fresh_rays = rays;
    start = std::chrono::steady_clock::now();
    raw_rays(kernel.scene(), fresh_rays);
    ones = std::min(ones, seconds_since(start));
  }
  const auto count = static_cast<double>(stage.grid.size());
  state.counters["rays_per_s"] = count / ours;
  state.counters["kernel1_rays_per_s"] = count / ones;
  state.counters["kernel8_rays_per_s"] = count / eights;
  state.counters["ratio"] = std::min(ones, eights) / ours;
  state.counters["clear_share"] =
      static_cast<double>(std::count(clear.begin(), clear.end(), 1)) / count;
}
BENCHMARK(sight_grid)->Arg(0)->Arg(1)->UseManualTime()->Unit(benchmark::kMillisecond);

void profiles(benchmark::State& state) {
  if (missing(state)) return;
  const Stage& stage = stage_of(static_cast<int>(state.range(0)));
  std::size_t i = 0;
  for (auto _ : state) {
    const Segment& s = stage.grid[i = (i + 7919) % stage.grid.size()];
    benchmark::DoNotOptimize(stage.caster->profile(s.a, s.b, 0.0107));
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(profiles)->Arg(0)->Arg(1)->Unit(benchmark::kMicrosecond);

void import_and_scene(benchmark::State& state) {
  if (missing(state)) return;
  for (auto _ : state) {
    const ImportedSite site = west_village();
    ImportReport report;
    benchmark::DoNotOptimize(build_scene(site, report));
  }
}
BENCHMARK(import_and_scene)->Arg(1)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
