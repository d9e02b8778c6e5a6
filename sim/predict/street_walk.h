// Streets walked from end to end: what a phone would see on the way.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/link/hold.h"
#include "sim/predict/prediction.h"

namespace sim {

/// The best link at a place of a street, as far as a walk needs it.
struct StationLink {
  NodeIndex node = 0;
  std::uint32_t sector = 0;
  Sight sight = Sight::none;
  double distance_2d_m = 0.0;
  Dbm rsrp;
  Db snr, spread;
  double downlink_mbps = 0.0, downlink_low_mbps = 0.0, downlink_high_mbps = 0.0;
  double uplink_mbps = 0.0, uplink_low_mbps = 0.0, uplink_high_mbps = 0.0;
  double p_hold = 0.0;
  LinkState state = LinkState::drop;  ///< without history
  Cause cause = Cause::none;
  ObstacleId cause_obstacle = no_obstacle;
};

struct Station {
  double along_m = 0.0;             ///< from the node's foot, positive the way the line is drawn
  ScenePoint place;                 ///< on the ground
  std::optional<StationLink> best;  ///< nothing in a building, off the ground, beyond the radius
  bool held_outward = false;        ///< by a walk away from the foot, with its history
  bool held_inward = false;         ///< by a walk towards it
};

/// NaN where there is no link.
Dbm level_of(const Station& station);

/// A node nearer to the centre line than this stands on the street, and a wide one at that: common
/// practice, no source.
inline constexpr double on_street_m = 25.0;

/// One street, its ways of one name joined into one line.
struct StreetWalk {
  std::string street_id, street_name;  ///< id of its first way
  NodeIndex from_node = 0;  ///< whose foot on the line is 0: of the nodes on the street the first,
                            ///< else the nearest
  double off_street_m = 0.0;      ///< straight from that node to its foot
  std::vector<Station> stations;  ///< by along_m, every spacing_m

  /// Stations of one side in the order of a walk outward: from the foot on.
  std::vector<std::size_t> outward(bool forward) const;
};

/// A street without a name goes by its id.
std::string name_of(const StreetWalk& walk);

/// Walks every street within radius_m of a node, at spacing_m. Levels are those of the best sector;
/// the walks have the hysteresis of walk_states() between drop_rsrp (kept) and hold_rsrp
/// (regained).
std::vector<StreetWalk> walk_streets(const RayCaster& caster, const LinkSettings& settings,
                                     const PredictOptions& options);

}  // namespace sim
