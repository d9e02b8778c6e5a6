// Pieces of walls that scatter from one end of a link to the other.
#pragma once

#include <vector>

#include "sim/cast/mirror_paths.h"
#include "sim/link/mirror_surfaces.h"
#include "sim/link/near_walls.h"

namespace sim {

/// An end of the link as a wall has it: straight, or by way of one mirror.
struct ScatterEnd {
  ScenePoint at;                           ///< where it is
  ScenePoint seems;                        ///< where it seems to be: its image, or `at`
  const ReflectingFace* mirror = nullptr;  ///< none: straight
  const NearWalls* walls = nullptr;        ///< about it; none: all by rays

  /// Where the way between a place and the end meets the mirror; the end itself without one.
  ScenePoint turn(ScenePoint place) const;
  bool sees(const RayCaster& caster, const Transparent& past, ScenePoint place) const;
  /// Whether walls about the end surely hide a place, or where it would be in the mirror.
  bool hidden(ScenePoint place) const;
  /// Whether its mirror may show it some of the line from p to q. Leaves out only what it cannot.
  bool may_see(ScenePoint p, ScenePoint q) const;
  /// Share of the power that the mirror keeps; 1 without one.
  double kept(const MirrorSurfaces& surfaces, ScenePoint place) const;
};

struct ScatterWay {
  ScatterEnd from, to;
};

/// Part of a wall, a rectangle in its plane.
struct ScatterPiece {
  const ReflectingFace* face = nullptr;
  std::uint32_t way = 0;  ///< index of its ends
  FlatPoint middle;
  double wide_m = 0.0, tall_m = 0.0;
  double gain = 0.0;  ///< received over radiated power, both isotropic; mirrors taken as perfect

  static constexpr double first_look = 0.125, last_look = 0.875;  ///< along the piece

  ScenePoint before(double share) const {
    return face->in_space({middle.x_m + (share - 0.5) * wide_m, middle.y_m}) +
           MirrorPaths::lift_m * face->normal;
  }
};

/// What a piece scatters, Lambert's lobe summed over midpoints, as many as the nearer end asks for.
double scatter_gain(const ScatterPiece& piece, const ScatterWay& way, Frequency f,
                    double scattering);

/// Adds the pieces of a face within a window that holds all that is lit of it, but for those that
/// the receiver surely does not see; their gain is not set. No piece is wider than a house front or
/// taller than two floors.
void cut_to_pieces(const ReflectingFace& face, const FaceWindow& lit, const ScatterWay& way,
                   std::uint32_t way_index, std::vector<ScatterPiece>& pieces);

/// Cuts a piece back to what both ends see of it, along the wall; false where that is nothing. A
/// street corner hides part of a piece with an upright edge, which is found by halving.
bool cut_to_seen(const RayCaster& caster, const Transparent& past, const ScatterWay& way,
                 ScatterPiece& piece);

}  // namespace sim
