// The tree of images against trying every sequence of faces, and against the laws of reflection.
#include "sim/cast/mirror_paths.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

/// Houses turned at random, one with a courtyard, and a bus; flat ground.
ImportedSite scattered_houses(std::uint64_t seed) {
  ImportedSite site = test::empty_site();
  std::uint64_t state = seed;
  for (int i = 0; i < 6; ++i) {
    const double x = 30.0 * (i % 3) - 30.0 + 10.0 * test::next_number(state);
    const double y = 34.0 * (i / 3) - 17.0 + 8.0 * test::next_number(state);
    const double turn = i % 2 == 0 ? 0.0 : std::numbers::pi * test::next_number(state);
    const double length = 8.0 + 14.0 * test::next_number(state), width = 14.0;
    BuildingRecord house = test::box_building(fmt::format("house {}", i), 0, 0, 1, 1,
                                              4.0 + 14.0 * test::next_number(state));
    const auto corner = [&](double u, double v) {
      return Xy{x + u * std::cos(turn) - v * std::sin(turn),
                y + u * std::sin(turn) + v * std::cos(turn)};
    };
    house.polygons[0].shell = {corner(-length / 2, -width / 2), corner(length / 2, -width / 2),
                               corner(length / 2, width / 2), corner(-length / 2, width / 2)};
    if (i == 2) {
      house.polygons[0].holes.push_back(
          {corner(-3, -4), corner(-3, 4), corner(3, 4), corner(3, -4)});
    }
    site.buildings.push_back(house);
  }
  site.objects.push_back({.id = "bus",
                          .kind = ObjectKind::bus,
                          .place = Xy{0.0, 0.0},
                          .length_m = 12.0,
                          .width_m = 2.5,
                          .height_m = 3.0,
                          .heading = Angle::degrees(80.0 * test::next_number(state)),
                          .material = "metal",
                          .source = {"town", "objects", 0}});
  site.nodes[0].place = {-60.0 + 8.0 * test::next_number(state), 1.0};
  site.nodes[0].height_agl_m = 7.0;
  return site;
}

using Points = std::vector<ScenePoint>;

/// Every sequence of faces, each with its image; nothing left out.
class EverySequence {
 public:
  EverySequence(const RayCaster& caster, const ReflectingFaces& faces, ScenePoint from,
                double longest_m)
      : caster_(caster), faces_(faces), from_(from), longest_m_(longest_m) {}

  std::vector<Points> paths(ScenePoint to, int order) {
    found_.clear();
    to_ = to;
    sequence_.clear();
    images_ = {from_};
    extend(order);
    return found_;
  }

 private:
  void extend(int left) {
    if (left == 0) return;
    for (std::uint32_t f = 0; f < faces_.all().size(); ++f) {
      sequence_.push_back(f);
      images_.push_back(faces_[f].mirrored(images_.back()));
      keep_if_a_path();
      extend(left - 1);
      sequence_.pop_back();
      images_.pop_back();
    }
  }

  void keep_if_a_path() {
    if (distance_m(images_.back(), to_) > longest_m_) return;
    Points bounces(sequence_.size());
    ScenePoint target = to_;
    for (std::size_t k = sequence_.size(); k-- > 0;) {
      const ReflectingFace& face = faces_[sequence_[k]];
      const ScenePoint image = images_[k + 1];
      const double a = face.height_over_m(image), b = face.height_over_m(target);
      if (a > -MirrorPaths::least_height_m || b < MirrorPaths::least_height_m) return;
      bounces[k] = image + (a / (a - b)) * (target - image);
      if (!face.contains(face.in_plane(bounces[k]))) return;
      target = bounces[k];
    }
    if (faces_[sequence_[0]].height_over_m(from_) < MirrorPaths::least_height_m) return;
    ScenePoint start = from_;
    const Transparent walls{.blocking = wide_mask, .ignored = {}};
    for (std::size_t k = 0; k <= bounces.size(); ++k) {
      const ScenePoint end =
          k < bounces.size() ? bounces[k] + MirrorPaths::lift_m * faces_[sequence_[k]].normal : to_;
      if (!caster_.is_clear(end, start, walls)) return;
      start = end;
    }
    const auto same = [&](const Points& known) {
      return std::equal(known.begin(), known.end(), bounces.begin(), bounces.end(),
                        [](ScenePoint p, ScenePoint q) { return distance_m(p, q) < 0.01; });
    };
    if (std::none_of(found_.begin(), found_.end(), same)) found_.push_back(bounces);
  }

  const RayCaster& caster_;
  const ReflectingFaces& faces_;
  ScenePoint from_, to_;
  double longest_m_;
  std::vector<std::uint32_t> sequence_;
  std::vector<ScenePoint> images_;
  std::vector<Points> found_;
};

struct Stage {
  explicit Stage(const ImportedSite& imported) : site(imported) {
    ImportReport report;
    scene = build_scene(site, report);
    caster = std::make_unique<RayCaster>(scene);
  }
  ImportedSite site;
  Scene scene;
  std::unique_ptr<RayCaster> caster;
};

bool holds(const std::vector<Points>& paths, const Points& wanted) {
  return std::any_of(paths.begin(), paths.end(), [&](const Points& path) {
    return std::equal(path.begin(), path.end(), wanted.begin(), wanted.end(),
                      [](ScenePoint p, ScenePoint q) { return distance_m(p, q) < 0.02; });
  });
}

std::string text_of(const Points& path) {
  std::string text;
  for (const ScenePoint p : path)
    text += fmt::format(" ({:.3f} {:.3f} {:.3f})", p.x_m, p.y_m, p.z_m);
  return text;
}

void compare(const Stage& stage, int order, double longest_m, int receivers, std::uint64_t seed,
             std::array<std::size_t, 4>& counts) {
  const MirrorPaths mirrors(stage.scene, {.order = order, .longest_m = longest_m});
  const ScenePoint node = stage.scene.nodes[0].position;
  EverySequence every(*stage.caster, mirrors.faces(), node, longest_m);
  std::uint64_t state = seed;
  for (int i = 0; i < receivers; ++i) {
    ScenePoint to = test::random_segment(stage.site, state).a;
    to.x_m *= 0.8;
    to.y_m *= 0.6;
    if (i % 4 != 0) to.z_m = 1.5;
    std::vector<Points> found;
    for (const MirrorPath& path : mirrors.find(*stage.caster, 0, to)) {
      found.emplace_back();
      for (const MirrorPoint& p : path.bounces) found.back().push_back(p.at);
    }
    const std::vector<Points> expected = every.paths(to, order);
    EXPECT_EQ(found.size(), expected.size()) << text_of({to});
    for (const Points& path : expected) {
      EXPECT_TRUE(holds(found, path)) << "missed" << text_of(path) << " to" << text_of({to});
      ++counts[path.size()];
    }
  }
}

TEST(MirrorPaths, FindsWhatEverySequenceOfFacesFinds) {
  std::array<std::size_t, 4> counts{};
  for (const std::uint64_t seed : {1U, 2U, 3U, 4U, 5U}) {
    const Stage stage(scattered_houses(seed));
    compare(stage, 3, 400.0, 40, 7 * seed, counts);
  }
  fmt::print("mirror paths: {} of one bounce, {} of two, {} of three\n", counts[1], counts[2],
             counts[3]);
  for (const int order : {1, 2, 3}) EXPECT_GT(counts[static_cast<std::size_t>(order)], 20U);
}

TEST(MirrorPaths, FindsThemInAStreetGridToo) {
  std::array<std::size_t, 4> counts{};
  for (const std::uint64_t seed : {11U, 12U}) {
    const Stage stage(test::town(seed, {.blocks = 4, .terrain = false, .furniture = false}));
    compare(stage, 2, 300.0, 60, seed, counts);
  }
  EXPECT_GT(counts[1], 20U);
  EXPECT_GT(counts[2], 20U);
}

TEST(MirrorPaths, NoneIsLongerThanAskedFor) {
  const Stage stage(scattered_houses(3));
  std::array<std::size_t, 4> counts{};
  compare(stage, 2, 70.0, 40, 5, counts);
  EXPECT_GT(counts[1] + counts[2], 0U);
}

TEST(MirrorPaths, TheSamePathsBackwards) {
  // Reciprocity: node and receiver change places.
  const Stage there(scattered_houses(2));
  const MirrorPaths mirrors(there.scene, {.order = 3, .longest_m = 400.0});
  std::size_t compared = 0;
  for (const Xy place : {Xy{20.0, 0.5}, Xy{45.0, -1.0}, Xy{-20.0, 35.0}}) {
    const ScenePoint to{place.x, place.y, 1.5};
    ImportedSite turned = there.site;
    turned.nodes[0].place = place;
    turned.nodes[0].height_agl_m = 1.5;
    const Stage back(turned);
    const MirrorPaths back_mirrors(back.scene, {.order = 3, .longest_m = 400.0});
    const auto forward = mirrors.find(*there.caster, 0, to);
    auto backward = back_mirrors.find(*back.caster, 0, there.scene.nodes[0].position);
    EXPECT_EQ(forward.size(), backward.size());
    for (const MirrorPath& path : forward) {
      const auto mirrored = std::find_if(backward.begin(), backward.end(), [&](const auto& b) {
        return std::equal(
            path.bounces.begin(), path.bounces.end(), b.bounces.rbegin(), b.bounces.rend(),
            [](const auto& p, const auto& q) { return distance_m(p.at, q.at) < 0.02; });
      });
      ASSERT_NE(mirrored, backward.end());
      EXPECT_NEAR(mirrored->length_m, path.length_m, 1e-9);
      ++compared;
    }
  }
  EXPECT_GT(compared, 5U);
}

TEST(MirrorPaths, ObeyTheLawOfReflection) {
  const Stage stage(scattered_houses(4));
  const MirrorPaths mirrors(stage.scene, {.order = 3, .longest_m = 400.0});
  const ScenePoint node = stage.scene.nodes[0].position;
  std::uint64_t state = 1;
  for (int i = 0; i < 50; ++i) {
    ScenePoint to = test::random_segment(stage.site, state).a;
    to.z_m = 1.5;
    for (const MirrorPath& path : mirrors.find(*stage.caster, 0, to)) {
      double walked = 0.0;
      ScenePoint before = node;
      for (std::size_t k = 0; k < path.bounces.size(); ++k) {
        const MirrorPoint& p = path.bounces[k];
        const ScenePoint after = k + 1 < path.bounces.size() ? path.bounces[k + 1].at : to;
        const ScenePoint in = (1.0 / distance_m(before, p.at)) * (p.at - before);
        const ScenePoint out = (1.0 / distance_m(after, p.at)) * (after - p.at);
        const ScenePoint n = mirrors.faces()[p.face].normal;
        EXPECT_LT(distance_m(out, in - (2.0 * dot(in, n)) * n), 1e-6);
        walked += distance_m(before, p.at);
        before = p.at;
      }
      walked += distance_m(before, to);
      EXPECT_NEAR(walked, path.length_m, 1e-9);
    }
  }
}

}  // namespace
}  // namespace sim
