// A string drawn taut about corners beside a path.
#pragma once

#include <cstdint>
#include <vector>

#include "sim/scene/scene.h"

namespace sim {

/// A corner that a detour may pass.
struct DetourCorner {
  double at_m = 0.0, aside_m = 0.0;  ///< along the direct path, and outwards from it
  ObstacleId owner = no_obstacle;

  bool operator==(const DetourCorner&) const = default;
};

/// The corners that may be touched, and room to draw the string: one serves many, one after the
/// other.
class TautString {
 public:
  void clear() { at_m_.clear(), aside_m_.clear(), owner_.clear(); }
  void add(const DetourCorner& corner) {
    at_m_.push_back(corner.at_m);
    aside_m_.push_back(corner.aside_m);
    owner_.push_back(corner.owner);
  }

  /// The corners that a string from the path's one end to the other touches when it is drawn taut
  /// about all that were added. Those it does not touch are forgotten: more corners can only push
  /// it farther out.
  const std::vector<DetourCorner>& draw(double length_m);

 private:
  void draw_between(std::size_t begin, std::size_t end, const DetourCorner& p,
                    const DetourCorner& q);

  /// What is still to be looked at stands behind the corners themselves.
  std::vector<double> at_m_, aside_m_;
  std::vector<ObstacleId> owner_;
  std::vector<DetourCorner> string_;
};

}  // namespace sim
