// Where along a street the link drops, why, and how sure that is.
#pragma once

#include <string>
#include <vector>

#include "sim/predict/street_walk.h"

namespace sim {

enum class WalkDirection : std::uint8_t { outward, inward };  // away from the node's foot, or to it
std::string_view to_string(WalkDirection direction);

/// The 10 % and 90 % points of the draws; NaN where fewer than one draw in ten has the thing.
struct Interval {
  double low = 0.0, high = 0.0;
};

/// One side of a street, seen from the foot of the node its distances count from.
struct StreetSide {
  std::string street_id, street;  ///< name, or the id of a street without one
  std::string from_node;
  double off_street_m = 0.0;  ///< of that node
  bool forward = true;        ///< the way the line is drawn: along_m is positive
  Angle heading;              ///< towards which it goes out, true north
};

/// A stretch of street that a walk has no link on. Distances are from the node's foot, signed as
/// the line is drawn; from_m is the nearer end.
struct DropStretch {
  StreetSide side;
  WalkDirection direction = WalkDirection::outward;
  double from_m = 0.0, to_m = 0.0;
  Interval from_interval, to_interval;
  double probability = 0.0;  ///< share of the draws in which the walk has no link somewhere on it
  bool open_end = false;     ///< lasts to the end of the street or of the radius
  std::vector<ScenePoint> line;
  LinkState worst = LinkState::drop;  ///< without history
  Cause cause = Cause::none;          ///< of most of its first 30 m
  ObstacleId cause_obstacle = no_obstacle;
  std::string node, sector;  ///< of the best link in the middle
};

/// How far a walk outward keeps the link: from where it first has it to its first drop.
struct StreetReach {
  StreetSide side;
  double answered_to_m = 0.0;  ///< last place with an answer, as a distance
  bool holds = false;          ///< anywhere on this side
  double from_m = 0.0, to_m = 0.0;
  Interval to_interval;  ///< of the edge; empty (NaN) when the link is never lost
  bool to_the_end = false;
};

struct StreetVerdicts {
  std::vector<DropStretch> drops;    ///< by street, side, direction, distance
  std::vector<StreetReach> reaches;  ///< by street and side
};

/// Reads the walks, and draws each again and again with the shadowing that the map does not explain
/// (shadow_draws times, seed shadow_seed): the spread of its stretches' ends is what no closed form
/// gives.
StreetVerdicts judge_walks(const Scene& scene, const std::vector<StreetWalk>& walks,
                           const LinkSettings& settings);

}  // namespace sim
