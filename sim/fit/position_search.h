// Which pole the node hangs on, judged by the measurements.
#pragma once

#include <optional>

#include "sim/fit/unknowns.h"

namespace sim {

struct NodePlace {
  std::string id;       ///< of the pole; "site" = where the site has it; else along a street
  ScenePoint position;  ///< of the antennas
  std::vector<ObstacleId> own_poles;
};

struct RankedPlace {
  NodePlace place;
  double cost = 0.0;        ///< of the best fit of azimuths and EIRP from there
  double likelihood = 0.0;  ///< share among all places looked at
  double azimuth_deg = 0.0, eirp_offset_db = 0.0;  ///< of the node's first sector, with that fit
};

struct PositionSearch {
  NodeIndex node = 0;
  std::vector<RankedPlace> ranking;  ///< likeliest first
  std::size_t not_tried = 0;         ///< places beyond the most that are tried
  bool by_poles = true;              ///< else points along the streets
  bool moved = false;                ///< the likeliest is not the site's, and clearly likelier
};

/// Where the node may hang: mapped poles within reach of a row that names it or none, at the height
/// it has in the site; where no pole is mapped, every 10 m along the streets. The site's own place
/// first.
std::vector<NodePlace> node_places(const Scene& scene, NodeIndex node,
                                   const std::vector<ScenePoint>& rows, double reach_m,
                                   bool& by_poles);

/// Traces all rows from each place and fits azimuths and EIRPs there; rows deep in shadow count
/// too, for a shadow tells most about where the light stands. Huber's loss keeps one bad row from
/// deciding. `scene` is the caster's: the node comes back where it was, or on the likeliest place
/// where that has 0.9 of the likelihood.
PositionSearch search_position(Scene& scene, const RayCaster& caster, const Survey& survey,
                               NodeIndex node, const ObservationOptions& tracing, double reach_m);

}  // namespace sim
