// The ray caster against a caster that tries every triangle in double.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/base/parallel.h"
#include "sim/cast/ray_caster.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

Scene built(const ImportedSite& site) {
  ImportReport report;
  return build_scene(site, report);
}

/// Nothing but geometry: crosses the triangle between the pulled-in ends? By signed volumes.
bool crosses(ScenePoint a, ScenePoint b, ScenePoint v0, ScenePoint v1, ScenePoint v2) {
  const auto volume = [](ScenePoint p, ScenePoint q, ScenePoint r, ScenePoint s) {
    return dot(q - p, cross(r - p, s - p));
  };
  const double side_a = volume(a, v0, v1, v2), side_b = volume(b, v0, v1, v2);
  if ((side_a > 0.0) == (side_b > 0.0)) return false;
  const double e0 = volume(a, b, v0, v1), e1 = volume(a, b, v1, v2), e2 = volume(a, b, v2, v0);
  return (e0 >= 0.0 && e1 >= 0.0 && e2 >= 0.0) || (e0 <= 0.0 && e1 <= 0.0 && e2 <= 0.0);
}

bool brute_clear(const Scene& scene, Segment s, KindMask blocking) {
  const double length = distance_m(s.a, s.b);
  const ScenePoint gap = (RayCaster::endpoint_gap_m / length) * (s.b - s.a);
  const ScenePoint a = s.a + gap, b = s.b - gap;
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const auto kind = static_cast<ObstacleKind>(k);
    if ((blocking & mask_of(kind)) == 0) continue;
    const TriangleMesh& mesh = scene.mesh(kind);
    for (const auto& t : mesh.triangles) {
      if (crosses(a, b, mesh.vertices[t[0]], mesh.vertices[t[1]], mesh.vertices[t[2]])) {
        return false;
      }
    }
  }
  return true;
}

std::vector<Segment> segments_of(const ImportedSite& site, std::size_t count) {
  std::vector<Segment> segments;
  std::uint64_t state = 99;
  while (segments.size() < count) segments.push_back(test::random_segment(site, state));
  return segments;
}

std::vector<std::uint8_t> batch(const RayCaster& caster, const std::vector<Segment>& segments) {
  std::vector<std::uint8_t> clear(segments.size());
  caster.is_clear(segments, clear);
  return clear;
}

TEST(BruteForce, SameAnswersOnInventedTowns) {
  std::size_t rays = 0, differ = 0, clear_count = 0;
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    const ImportedSite site = test::town(seed, {.blocks = 4});
    const Scene scene = built(site);
    const RayCaster caster(scene);
    const auto segments = segments_of(site, 1000);
    const auto answers = batch(caster, segments);
    for (std::size_t i = 0; i < segments.size(); ++i) {
      const bool expected = brute_clear(scene, segments[i], opaque_mask);
      EXPECT_EQ(caster.is_clear(segments[i].a, segments[i].b), answers[i] == 1) << seed << ' ' << i;
      ++rays;
      clear_count += expected ? 1 : 0;
      differ += expected != (answers[i] == 1) ? 1 : 0;
    }
  }
  fmt::print("brute force: {} rays, {} clear, {} differ\n", rays, clear_count, differ);
  EXPECT_GT(clear_count, rays / 100);
  EXPECT_LE(differ * 1000, rays);
}

TEST(BruteForce, SameAnswersFromEveryInstructionSetAndThreadCount) {
  const ImportedSite site = test::town(4);
  const Scene scene = built(site);
  const auto segments = segments_of(site, 20'000);
  const auto sse2 = batch(RayCaster(scene, "isa=sse2"), segments);
  const auto avx2 = batch(RayCaster(scene, "isa=avx2"), segments);
  EXPECT_EQ(sse2, avx2);
  set_thread_count(1);
  const RayCaster caster(scene);
  const auto alone = batch(caster, segments);
  set_thread_count(0);
  EXPECT_EQ(alone, batch(caster, segments));
}

TEST(BruteForce, AnotherObstacleNeverClearsARay) {
  ImportedSite site = test::town(5, {.blocks = 4});
  const auto segments = segments_of(site, 20'000);
  const Scene before = built(site);
  site.buildings.push_back(test::box_building("new", -10, 25, 10, 35, 30));
  const Scene after = built(site);
  const auto clear_before = batch(RayCaster(before), segments);
  const auto clear_after = batch(RayCaster(after), segments);
  std::size_t blocked_anew = 0;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    EXPECT_LE(clear_after[i], clear_before[i]) << i;
    blocked_anew += clear_before[i] > clear_after[i] ? 1 : 0;
  }
  EXPECT_GT(blocked_anew, 0U);
}

}  // namespace
}  // namespace sim
