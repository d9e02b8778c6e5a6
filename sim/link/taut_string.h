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
  void clear() { count_ = 0; }
  void add(const DetourCorner& corner) {
    make_room(count_ + 1);
    put(count_++, corner);
  }

  /// The corners that a string from the path's one end to the other touches when it is drawn taut
  /// about all that were added. Those it does not touch are forgotten: more corners can only push
  /// it farther out.
  const std::vector<DetourCorner>& draw(double length_m);

 private:
  void make_room(std::size_t count) {
    if (count <= at_m_.size()) return;
    at_m_.resize(2 * count);
    aside_m_.resize(2 * count);
    owner_.resize(2 * count);
  }
  void put(std::size_t i, const DetourCorner& corner) {
    at_m_[i] = corner.at_m;
    aside_m_[i] = corner.aside_m;
    owner_[i] = corner.owner;
  }
  DetourCorner corner(std::size_t i) const { return {at_m_[i], aside_m_[i], owner_[i]}; }
  struct Range {
    std::size_t begin, end;
  };
  /// Adds what is touched between p and q: the peak, and of some corners those on either side of
  /// it. Works in the room that begins at `room`.
  void add_round(Range of, std::size_t room, const DetourCorner& p, const DetourCorner& peak,
                 const DetourCorner& q);

  std::size_t count_ = 0;
  std::vector<double> at_m_, aside_m_;  ///< as large as was ever needed
  std::vector<ObstacleId> owner_;
  std::vector<DetourCorner> string_;
};

}  // namespace sim
