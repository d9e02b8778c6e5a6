#include "sim/compare/predicted_places.h"

#include <algorithm>
#include <cmath>

#include "sim/predict/street_walk.h"

namespace sim {
namespace {

void add_streets(const RayCaster& caster, const LinkSettings& settings,
                 const GatherOptions& options, ComparedSite& site) {
  const Scene& scene = caster.scene();
  for (const StreetWalk& walk : walk_streets(caster, settings, options.predict)) {
    for (const Station& station : walk.stations) {
      if (!station.best) continue;
      const StationLink& best = *station.best;
      PredictedPlace place{.group = place_group(scene.nodes[best.node], options),
                           .distance_m = best.distance_2d_m,
                           .sight = in_sight(best.sight),
                           .p_hold = best.p_hold,
                           .beside_beam = best.cause == Cause::sector};
      place.predicted[Measure::downlink] = best.downlink_mbps;
      place.predicted[Measure::uplink] = best.uplink_mbps;
      place.predicted[Measure::level] = best.rsrp.value;
      site.places.push_back(std::move(place));
    }
  }
}

/// Node by the number that best_sector gives its sector, from 1.
std::vector<NodeIndex> nodes_of_sectors(const Scene& scene) {
  std::vector<NodeIndex> nodes;
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    nodes.insert(nodes.end(), scene.nodes[n].sectors.size(), n);
  }
  return nodes;
}

void add_map(const RayCaster& caster, const LinkSettings& settings, const GatherOptions& options,
             ComparedSite& site) {
  const Scene& scene = caster.scene();
  PredictOptions coarse = options.predict;
  coarse.spacing_m = std::max(coarse.spacing_m, least_cell_m);
  const PredictionGrid grid = predict_grid(caster, settings, coarse);
  const auto nodes = nodes_of_sectors(scene);
  const auto& best = grid.band("best_sector").values;
  const auto& sight = grid.band("sight").values;
  const auto& hold = grid.band("p_hold").values;
  const auto& level = grid.band("rsrp_dbm").values;
  const auto& down = grid.band("downlink_mbps").values;
  const auto& up = grid.band("uplink_mbps").values;
  for (int row = 0; row < grid.spec.rows; ++row) {
    for (int col = 0; col < grid.spec.cols; ++col) {
      const std::size_t i = grid.spec.index(col, row);
      if (!(best[i] > 0.5F) || std::isnan(hold[i])) continue;
      const Node& node = scene.nodes[nodes.at(static_cast<std::size_t>(best[i]) - 1)];
      const MapPoint foot = scene.frame.map_from_scene(node.position);
      const double x = grid.spec.west_m + (col + 0.5) * grid.spec.cell_x_m;
      const double y = grid.spec.north_m - (row + 0.5) * grid.spec.cell_y_m;
      const auto sight_there = static_cast<Sight>(static_cast<int>(sight[i]));
      PredictedPlace place{.group = place_group(node, options),
                           .distance_m = std::hypot(x - foot.x_m, y - foot.y_m),
                           .sight = in_sight(sight_there),
                           .p_hold = static_cast<double>(hold[i]),
                           .beside_beam = static_cast<Cause>(grid.cause[i]) == Cause::sector};
      place.predicted[Measure::downlink] = static_cast<double>(down[i]);
      place.predicted[Measure::uplink] = static_cast<double>(up[i]);
      place.predicted[Measure::level] = static_cast<double>(level[i]);
      site.places.push_back(std::move(place));
    }
  }
}

}  // namespace

std::string place_group(const Node& node, const GatherOptions& options) {
  if (options.grouping.by != Grouping::By::node) return options.site_name;
  return options.many_sites ? options.site_name + ": " + node.id : node.id;
}

void add_predicted_places(const RayCaster& caster, const LinkSettings& settings,
                          const GatherOptions& options, ComparedSite& site) {
  if (caster.scene().streets.empty()) {
    add_map(caster, settings, options, site);
    site.places_from = "map";
  } else {
    add_streets(caster, settings, options, site);
    site.places_from = "streets";
  }
}

}  // namespace sim
