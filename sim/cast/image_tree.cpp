#include <algorithm>
#include <cmath>

#include "sim/cast/lit_window.h"
#include "sim/cast/mirror_paths.h"

namespace sim {
namespace {

double distance_to_box_m(const ReflectingFace& face, ScenePoint p) {
  const FlatPoint q = face.in_plane(p);
  const FaceWindow& b = face.bounds;
  const double du = std::max({b.u0_m - q.x_m, q.x_m - b.u1_m, 0.0});
  const double dv = std::max({b.v0_m - q.y_m, q.y_m - b.v1_m, 0.0});
  const double h = face.height_over_m(p);
  return std::sqrt(du * du + dv * dv + h * h);
}

std::array<ScenePoint, 4> corners_of(const ReflectingFace& face, const FaceWindow& w) {
  return {face.in_space({w.u0_m, w.v0_m}), face.in_space({w.u1_m, w.v0_m}),
          face.in_space({w.u1_m, w.v1_m}), face.in_space({w.u0_m, w.v1_m})};
}

/// Some of the window stands before the face.
bool reaches_before(const ReflectingFace& face, const std::array<ScenePoint, 4>& corners) {
  return std::any_of(corners.begin(), corners.end(), [&](ScenePoint p) {
    return face.height_over_m(p) > MirrorPaths::least_height_m;
  });
}

/// What in the plan an image can light: right of one line and left of another through the image,
/// beyond a third along its face.
struct PlanWedge {
  struct Side {
    double a = 0.0, b = 0.0, c = 0.0;  ///< a x + b y + c >= 0 within
  };
  std::array<Side, 3> sides;
  bool everywhere = true;

  bool may_reach(double west, double south, double east, double north) const {
    if (everywhere) return true;
    return std::all_of(sides.begin(), sides.end(), [&](const Side& s) {
      return s.a * (s.a > 0.0 ? east : west) + s.b * (s.b > 0.0 ? north : south) + s.c >= 0.0;
    });
  }
};

/// Of an upright face. A level one leaves the plan as it was before it.
PlanWedge wedge_of(const ReflectingFace& face, const FaceWindow& window, ScenePoint image) {
  PlanWedge wedge;
  if (!face.is_upright()) return wedge;
  wedge.everywhere = false;
  const ScenePoint n = face.normal;
  wedge.sides[0] = {n.x_m, n.y_m, -(n.x_m * face.origin.x_m + n.y_m * face.origin.y_m)};
  const ScenePoint p = face.in_space({window.u0_m, 0.0}), q = face.in_space({window.u1_m, 0.0});
  for (const auto& [end, other, side] : {std::tuple{p, q, 1}, {q, p, 2}}) {
    double a = -(end.y_m - image.y_m), b = end.x_m - image.x_m;
    double c = -(a * image.x_m + b * image.y_m);
    if (a * other.x_m + b * other.y_m + c < 0.0) {
      a = -a;
      b = -b;
      c = -c;
    }
    wedge.sides[static_cast<std::size_t>(side)] = {a, b, c};
  }
  return wedge;
}

}  // namespace

ImageTree::ImageTree(const RayCaster& caster, const ReflectingFaces& faces, ScenePoint node,
                     const MirrorLimits& limits)
    : node_(node) {
  add_images(caster, faces, -1, limits);
  std::size_t level_begin = 0;
  for (int order = 1; order < limits.order; ++order) {
    const std::size_t level_end = images_.size();
    for (std::size_t i = level_begin; i < level_end; ++i) {
      add_images(caster, faces, static_cast<std::int32_t>(i), limits);
    }
    level_begin = level_end;
  }
  list_by_cell(faces, limits.longest_m);
}

void ImageTree::add_images(const RayCaster& caster, const ReflectingFaces& faces,
                           std::int32_t parent, const MirrorLimits& limits) {
  const bool first = parent < 0;
  const Image from = first ? Image{.at = node_} : images_[static_cast<std::size_t>(parent)];
  Beam beam{.apex = from.at};
  std::array<ScenePoint, 4> opening{};
  if (!first) {
    beam.through = &faces[from.face];
    beam.window = from.window;
    opening = corners_of(*beam.through, from.window);
  }
  for (std::uint32_t f = 0; f < faces.all().size(); ++f) {
    const ReflectingFace& face = faces[f];
    if (face.height_over_m(from.at) < MirrorPaths::least_height_m) continue;
    if (distance_to_box_m(face, from.at) > limits.longest_m) continue;
    if (!first) {
      if (f == from.face) continue;
      if (!reaches_before(face, opening)) continue;
      if (!reaches_before(*beam.through, corners_of(face, face.bounds))) continue;
    }
    const auto window = lit_window(caster, faces, beam, face);
    if (!window) continue;
    images_.push_back({.at = face.mirrored(from.at),
                       .face = f,
                       .parent = parent,
                       .order = first ? 1 : from.order + 1,
                       .window = *window});
  }
}

void ImageTree::list_by_cell(const ReflectingFaces& faces, double longest_m) {
  cells_ = static_cast<int>(std::ceil(2.0 * longest_m / cell_m_));
  west_m_ = node_.x_m - longest_m;
  south_m_ = node_.y_m - longest_m;
  std::vector<PlanWedge> wedges(images_.size());
  for (std::size_t i = 0; i < images_.size(); ++i) {
    const Image& image = images_[i];
    const ReflectingFace& face = faces[image.face];
    const bool level = std::abs(face.normal.x_m) + std::abs(face.normal.y_m) < 1e-12;
    if (level && image.parent >= 0) {
      wedges[i] = wedges[static_cast<std::size_t>(image.parent)];
    } else {
      wedges[i] = wedge_of(face, image.window, image.at);
    }
  }
  const auto count = static_cast<std::size_t>(cells_) * static_cast<std::size_t>(cells_);
  std::vector<std::vector<std::uint32_t>> lists(count);
  for (std::size_t i = 0; i < images_.size(); ++i) {
    const ScenePoint at = images_[i].at;
    const auto span = [&](double middle, double low) {
      const double first = std::floor((middle - longest_m - low) / cell_m_);
      const double last = std::floor((middle + longest_m - low) / cell_m_);
      return std::pair{std::clamp(static_cast<int>(first), 0, cells_),
                       std::clamp(static_cast<int>(last), -1, cells_ - 1)};
    };
    const auto [col0, col1] = span(at.x_m, west_m_);
    const auto [row0, row1] = span(at.y_m, south_m_);
    for (int row = row0; row <= row1; ++row) {
      const double south = south_m_ + row * cell_m_;
      for (int col = col0; col <= col1; ++col) {
        const double west = west_m_ + col * cell_m_;
        const double dx = std::max({west - at.x_m, at.x_m - west - cell_m_, 0.0});
        const double dy = std::max({south - at.y_m, at.y_m - south - cell_m_, 0.0});
        if (dx * dx + dy * dy > longest_m * longest_m) continue;
        if (!wedges[i].may_reach(west, south, west + cell_m_, south + cell_m_)) continue;
        lists[static_cast<std::size_t>(row) * static_cast<std::size_t>(cells_) +
              static_cast<std::size_t>(col)]
            .push_back(static_cast<std::uint32_t>(i));
      }
    }
  }
  first_.reserve(count + 1);
  for (const auto& list : lists) {
    first_.push_back(static_cast<std::uint32_t>(listed_.size()));
    listed_.insert(listed_.end(), list.begin(), list.end());
  }
  first_.push_back(static_cast<std::uint32_t>(listed_.size()));
}

std::int64_t ImageTree::cell_at(ScenePoint place) const {
  const double col = std::floor((place.x_m - west_m_) / cell_m_);
  const double row = std::floor((place.y_m - south_m_) / cell_m_);
  if (!(col >= 0.0 && row >= 0.0 && col < cells_ && row < cells_)) return -1;
  return static_cast<std::int64_t>(row) * cells_ + static_cast<std::int64_t>(col);
}

}  // namespace sim
