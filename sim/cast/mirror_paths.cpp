#include "sim/cast/mirror_paths.h"

#include <algorithm>
#include <array>

namespace sim {
namespace {

constexpr double same_point_m = 0.01;  // faces of two records of one wall give one path

/// Where the path to `to` meets the face of an image, if it does so before the face's front.
bool bounce_point(const ReflectingFace& face, ScenePoint image, ScenePoint to, ScenePoint& at) {
  const double before = face.height_over_m(to), behind = -face.height_over_m(image);
  if (before < MirrorPaths::least_height_m || behind < MirrorPaths::least_height_m) return false;
  at = image + (behind / (behind + before)) * (to - image);
  return face.contains(face.in_plane(at));
}

bool same_bounces(const MirrorPath& a, const MirrorPath& b) {
  return std::equal(a.bounces.begin(), a.bounces.end(), b.bounces.begin(), b.bounces.end(),
                    [](const MirrorPoint& p, const MirrorPoint& q) {
                      return distance_m(p.at, q.at) < same_point_m;
                    });
}

}  // namespace

MirrorPaths::MirrorPaths(const Scene& scene, const MirrorLimits& limits)
    : scene_(&scene), limits_(limits), by_node_(scene.nodes.size()) {}
MirrorPaths::~MirrorPaths() = default;

const ReflectingFaces& MirrorPaths::faces() const {
  std::call_once(faces_once_, [&] { faces_ = std::make_unique<ReflectingFaces>(*scene_); });
  return *faces_;
}

const ImageTree& MirrorPaths::tree(const RayCaster& caster, NodeIndex node) const {
  NodeImages& images = by_node_[node];
  std::call_once(images.once, [&] {
    images.tree =
        std::make_unique<ImageTree>(caster, faces(), scene_->nodes[node].position, limits_);
  });
  return *images.tree;
}

std::vector<MirrorPath> MirrorPaths::find(const RayCaster& caster, NodeIndex node,
                                          ScenePoint to) const {
  std::vector<MirrorPath> paths;
  if (limits_.order <= 0) return paths;
  const ImageTree& images = tree(caster, node);
  const ScenePoint from = scene_->nodes[node].position;
  const Transparent walls{.blocking = wide_mask, .ignored = {}};
  std::array<MirrorPoint, 3> back;  // from the receiver to the node
  images.visit_lighting(to, [&](std::uint32_t index) {
    const ImageTree::Image* image = &images.images()[index];
    const double length = distance_m(image->at, to);
    if (length > limits_.longest_m) return;
    const int order = image->order;
    ScenePoint target = to;
    for (int k = 0; k < order; ++k) {
      const ReflectingFace& face = faces()[image->face];
      auto& [at, number] = back[static_cast<std::size_t>(k)];
      if (!bounce_point(face, image->at, target, at)) return;
      if (!image->window.holds(face.in_plane(at))) return;
      number = image->face;
      target = at;
      if (image->parent >= 0) image = &images.images()[static_cast<std::size_t>(image->parent)];
    }
    const auto lifted = [&](const MirrorPoint& p) {
      return p.at + lift_m * faces()[p.face].normal;
    };
    ScenePoint end = to;
    for (int k = 0; k < order; ++k) {
      const ScenePoint start = lifted(back[static_cast<std::size_t>(k)]);
      if (!caster.is_clear(start, end, walls)) return;
      end = start;
    }
    if (!caster.is_clear(from, end, walls)) return;
    MirrorPath path{.bounces = {back.begin(), back.begin() + order}, .length_m = length};
    std::reverse(path.bounces.begin(), path.bounces.end());
    if (std::none_of(paths.begin(), paths.end(),
                     [&](const MirrorPath& known) { return same_bounces(known, path); })) {
      paths.push_back(std::move(path));
    }
  });
  return paths;
}

}  // namespace sim
