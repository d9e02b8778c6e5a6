// Paths from a node to a receiver by way of mirrors: the method of images.
#pragma once

#include <memory>
#include <mutex>
#include <vector>

#include "sim/cast/ray_caster.h"
#include "sim/cast/reflecting_faces.h"

namespace sim {

struct MirrorPoint {
  ScenePoint at;
  std::uint32_t face = 0;  ///< in MirrorPaths::faces()
};

/// A path that obeys the law of reflection at every bounce and that neither ground nor building
/// blocks; what else stands on its legs is for the ledger to price.
struct MirrorPath {
  std::vector<MirrorPoint> bounces;  ///< from the node to the receiver
  double length_m = 0.0;             ///< unfolded: of all legs together
};

struct MirrorLimits {
  int order = 1;              ///< most bounces, 0 to 3
  double longest_m = 1000.0;  ///< of the unfolded path
};

/// The images of one node in the faces of a scene and in each other, each with the window of its
/// face that its beam can reach, and a plan of cells that tells which of them may light a place.
/// Leaves out only what no path can use.
class ImageTree {
 public:
  struct Image {
    ScenePoint at;
    std::uint32_t face = 0;
    std::int32_t parent = -1;  ///< the image that this one mirrors; -1 = the node
    int order = 1;
    FaceWindow window;
  };

  ImageTree(const RayCaster& caster, const ReflectingFaces& faces, ScenePoint node,
            const MirrorLimits& limits);

  const std::vector<Image>& images() const { return images_; }
  /// Calls visit(index) for the images that may light a place, in ascending order.
  template <class Visit>
  void visit_lighting(ScenePoint place, const Visit& visit) const {
    const std::int64_t cell = cell_at(place);
    if (cell < 0) return;
    for (std::uint32_t i = first_[static_cast<std::size_t>(cell)];
         i < first_[static_cast<std::size_t>(cell) + 1]; ++i) {
      visit(listed_[i]);
    }
  }

 private:
  void add_images(const RayCaster& caster, const ReflectingFaces& faces, std::int32_t parent,
                  const MirrorLimits& limits);
  void list_by_cell(const ReflectingFaces& faces, double longest_m);
  std::int64_t cell_at(ScenePoint place) const;

  ScenePoint node_;
  std::vector<Image> images_;
  double cell_m_ = 10.0, west_m_ = 0.0, south_m_ = 0.0;
  int cells_ = 0;  ///< per side
  std::vector<std::uint32_t> first_, listed_;
};

class MirrorPaths {
 public:
  MirrorPaths(const Scene& scene, const MirrorLimits& limits);
  ~MirrorPaths();

  /// All paths of 1 to `order` bounces, by the order of their images. The node's images are made at
  /// the first call for it; from any thread. `caster` is of the same scene.
  std::vector<MirrorPath> find(const RayCaster& caster, NodeIndex node, ScenePoint to) const;

  /// Makes the images of a node and tells how many there are.
  const ImageTree& tree(const RayCaster& caster, NodeIndex node) const;

  const ReflectingFaces& faces() const;
  const MirrorLimits& limits() const { return limits_; }

  /// Rays leave a face this far before it, so that it does not block its own.
  static constexpr double lift_m = 2e-3;
  /// Both ends of a reflection are before the face by at least this.
  static constexpr double least_height_m = 1e-6;

 private:
  struct NodeImages {
    std::once_flag once;
    std::unique_ptr<ImageTree> tree;
  };
  const Scene* scene_;
  MirrorLimits limits_;
  mutable std::once_flag faces_once_;
  mutable std::unique_ptr<ReflectingFaces> faces_;
  mutable std::vector<NodeImages> by_node_;
};

}  // namespace sim
