#include <fmt/format.h>

#include <cmath>

#include "sim/scene/standing.h"

namespace sim {
namespace {

constexpr double own_pole_reach_m = 1.0;  // contract: a mapped pole within 1 m is the node's own

}  // namespace

std::vector<Node> standing_nodes(const ImportedSite& imported, const Scene& scene,
                                 const FootprintIndex& footprints) {
  std::vector<Node> nodes;
  nodes.reserve(imported.nodes.size());
  for (const NodeRecord& record : imported.nodes) {
    const FlatPoint p{record.place.x - imported.middle.x_m, record.place.y - imported.middle.y_m};
    const double ground = scene.ground.height_at(p.x_m, p.y_m);
    if (std::isnan(ground)) {
      throw InputError(record.source, "node '" + record.id +
                                          "' lies outside the ground raster; give a raster that "
                                          "covers it, or check its position");
    }
    Node node{.id = record.id,
              .position = {p.x_m, p.y_m, ground + record.height_agl_m},
              .height_agl_m = record.height_agl_m,
              .sectors = {},
              .own_poles = {},
              .source = record.source};
    if (const auto inside = footprints.building_at(p.x_m, p.y_m)) {
      const Obstacle& building = scene.obstacles[*inside];
      if (node.position.z_m < building.top_m) {
        throw InputError(
            record.source,
            fmt::format("node '{}' stands inside building {} ({}), {:.1f} m below its "
                        "roof; move it to the street, or raise height_agl_m above {:.1f}",
                        record.id, building.id, to_string(building.source),
                        building.top_m - node.position.z_m, building.top_m - ground));
      }
    }
    for (const SectorRecord& sector : record.sectors) {
      node.sectors.push_back({.id = sector.id,
                              .pattern = sector.pattern,
                              .polarization = sector.polarization,
                              .azimuth = sector.azimuth,
                              .downtilt = sector.downtilt,
                              .frequency = sector.frequency,
                              .bandwidth_mhz = sector.bandwidth_mhz,
                              .carriers = sector.carriers,
                              .eirp = sector.eirp,
                              .table = sector.table,
                              .rows = sector.rows,
                              .cols = sector.cols,
                              .broadcast_gain = sector.broadcast_gain});
    }
    for (std::size_t i = 0; i < imported.poles.size(); ++i) {
      const PoleRecord& pole = imported.poles[i];
      if (std::hypot(pole.place.x - record.place.x, pole.place.y - record.place.y) >
          own_pole_reach_m) {
        continue;
      }
      for (ObstacleId id = 0; id < scene.obstacles.size(); ++id) {
        if (scene.obstacles[id].kind == ObstacleKind::pole && scene.obstacles[id].id == pole.id &&
            scene.obstacles[id].source == pole.source) {
          node.own_poles.push_back(id);
        }
      }
    }
    nodes.push_back(std::move(node));
  }
  return nodes;
}

void stand_nodes(Standing& standing) {
  standing.scene.nodes =
      standing_nodes(standing.imported, standing.scene, FootprintIndex(standing.scene));
}

}  // namespace sim
