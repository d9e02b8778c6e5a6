// What a plan is made of.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/link/link.h"
#include "sim/plan/footways.h"
#include "sim/plan/sight_margin.h"
#include "sim/plan/street_graph.h"

namespace sim {

enum class PositionKind : std::uint8_t {
  step,          ///< every step_m outward, in sight of its node
  beyond,        ///< the first step past the edge where sight ends with coverage
  pair_clear,    ///< control: the same distance without the obstacle
  pair_blocked,  ///< control: behind one obstacle
  off_side,      ///< control: in sight, off the sectors' side
  in_car,        ///< control: in a parked car
  informative,   ///< control: tells most about what the survey cannot tell yet
  wanted         ///< named in the site file
};
std::string_view to_string(PositionKind kind);

/// A place considered, with what a phone that faces the node should read there.
struct Candidate {
  Stand stand;
  std::size_t way = 0;
  bool left = false;  ///< of the way's line
  Foot foot;
  double along_street_m = 0.0;  ///< walked from the node's foot; infinity where no street leads
  NodeIndex node = 0;
  ScenePoint phone;
  double height_agl_m = 1.5;
  ReceiverContext context = ReceiverContext::outdoor;
  bool sight = false;              ///< nothing crosses the straight line
  std::optional<LinkResult> link;  ///< of the node's best sector
};

struct PlannedPosition {
  std::string id;  ///< "P01" in walking order
  PositionKind kind = PositionKind::step;
  std::string partner;  ///< id of the other half of a pair
  Candidate at;
  SightMargin margin;  ///< of positions with sight
  std::string street;
  std::string side;  ///< "north side"; empty on a way for feet alone
  Angle face;        ///< from the phone to the node, true north
  std::string landmark;
  std::size_t repeats = 1;
  std::string repeats_why, why, note;  ///< sentences
  bool beyond_edge = false;            ///< the link should not hold here
};

/// Steps of one street that gave no position, by reason.
struct StreetGap {
  std::string street;
  NodeIndex node = 0;
  std::size_t steps = 0, kept = 0;  ///< asked for and planned on this street
  struct Reason {
    std::string words;  ///< "n1 is out of sight behind"
    std::size_t count = 0;
    std::vector<std::string> things;  ///< "building way/12", each once; may be empty
  };
  std::vector<Reason> reasons;
};

struct Route {
  std::vector<ScenePoint> line;   ///< on the ground
  std::vector<double> reached_m;  ///< walked when each position is reached
  double length_m = 0.0, climb_m = 0.0;
  double off_street_m = 0.0;  ///< of the length: where no mapped street leads
  double walking_s = 0.0, reading_s = 0.0;
};

struct Plan {
  std::vector<PlannedPosition> positions;  ///< in walking order
  Route route;
  std::vector<StreetGap> gaps;
  std::vector<std::string> notes;  ///< what could not be planned, and why; for people
  double step_m = 0.0, reach_m = 0.0;
  std::size_t chosen_from = 0;  ///< with `count`: of how many
};

}  // namespace sim
