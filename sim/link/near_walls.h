// What the walls about a place surely hide from it.
#pragma once

#include <vector>

#include "sim/cast/reflecting_faces.h"

namespace sim {

/// For each direction in plan the wall that hides most. It spares rays and changes no answer: what
/// it does not hide is for a ray to tell.
class NearWalls {
 public:
  /// Takes in the walls of buildings that face `eye` within a reach; forgets those of before.
  void look(const ReflectingFaces& faces, ScenePoint eye);

  bool hide(ScenePoint place) const;

 private:
  static constexpr double reach_m = 100.0;
  struct Wall {
    double away_m = 0.0;                 ///< in plan; no wall at 0
    double rise_from = 0.0, rise = 0.0;  ///< of the lines of sight that it stops, per metre
  };
  void put(const ReflectingFace& face);

  ScenePoint eye_;
  std::vector<Wall> by_direction_;
};

}  // namespace sim
