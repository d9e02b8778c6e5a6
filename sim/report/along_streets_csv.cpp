#include "sim/gis/csv_file.h"
#include "sim/report/answers.h"
#include "sim/report/number_text.h"
#include "sim/report/street_verdicts.h"

namespace sim {

void write_along_streets(const std::string& path, const Scene& scene,
                         const std::vector<StreetWalk>& walks) {
  std::string text =
      "street,street_id,from_node,off_street_m,along_m,x_m,y_m,node,sector,distance_m,sight,"
      "rsrp_dbm,snr_db,p_hold,downlink_low_mbps,downlink_mbps,downlink_high_mbps,uplink_low_mbps,"
      "uplink_mbps,uplink_high_mbps,state,outward,inward,cause,cause_id\n";
  for (const StreetWalk& walk : walks) {
    for (const Station& station : walk.stations) {
      if (!station.best) continue;
      const StationLink& link = *station.best;
      const Node& node = scene.nodes[link.node];
      const MapPoint place = scene.frame.map_from_scene(station.place);
      const auto add = [&](const std::string& cell) { text += csv_field(cell) + ","; };
      add(name_of(walk));
      add(walk.street_id);
      add(scene.nodes[walk.from_node].id);
      for (const double metres : {walk.off_street_m, station.along_m, place.x_m, place.y_m}) {
        add(fixed(metres, 2));
      }
      add(node.id);
      add(node.sectors[link.sector].id);
      add(fixed(link.distance_2d_m, 2));
      add(std::string(to_string(link.sight)));
      add(fixed(link.rsrp.value, 2));
      add(fixed(link.snr.value, 2));
      add(fixed(link.p_hold, 4));
      for (const double mbps : {link.downlink_low_mbps, link.downlink_mbps, link.downlink_high_mbps,
                                link.uplink_low_mbps, link.uplink_mbps, link.uplink_high_mbps}) {
        add(fixed(mbps, 1));
      }
      add(std::string(to_string(link.state)));
      add(station.held_outward ? "hold" : "drop");
      add(station.held_inward ? "hold" : "drop");
      add(std::string(to_string(link.cause)));
      text += csv_field(cause_id(scene, link.cause_obstacle)) + "\n";
    }
  }
  write_text(path, text);
}

}  // namespace sim
