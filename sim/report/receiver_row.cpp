#include "sim/report/receiver_row.h"

#include "sim/report/answers.h"
#include "sim/report/number_text.h"

namespace sim {

const std::vector<std::string>& receiver_columns() {
  static const std::vector<std::string> columns{"point_id",
                                                "node",
                                                "sector",
                                                "lon",
                                                "lat",
                                                "x_m",
                                                "y_m",
                                                "elevation_m",
                                                "height_agl_m",
                                                "distance_2d_m",
                                                "distance_3d_m",
                                                "azimuth_deg",
                                                "elevation_deg",
                                                "sight",
                                                "cause",
                                                "cause_id",
                                                "clearance_m",
                                                "clearance_fresnel",
                                                "free_space_db",
                                                "diffraction_db",
                                                "foliage_db",
                                                "penetration_db",
                                                "gas_rain_db",
                                                "pattern_db",
                                                "reflection_gain_db",
                                                "path_loss_db",
                                                "rsrp_dbm",
                                                "snr_db",
                                                "downlink_mbps",
                                                "uplink_mbps",
                                                "p_hold",
                                                "state",
                                                "foliage_low_db",
                                                "foliage_high_db",
                                                "downlink_low_mbps",
                                                "downlink_high_mbps",
                                                "uplink_low_mbps",
                                                "uplink_high_mbps"};
  return columns;
}

ReceiverCells::ReceiverCells(const Scene& scene)
    : scene_(scene), to_degrees_(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84()) {}

std::vector<std::string> ReceiverCells::operator()(const ReceiverRow& row) const {
  const LinkResult& link = row.link;
  const Node& node = scene_.nodes[link.node];
  const MapPoint place = scene_.frame.map_from_scene(link.receiver.position);
  const auto degrees = to_degrees_({place.x_m, place.y_m});
  std::vector<std::string> cells;
  cells.reserve(receiver_columns().size());
  const auto add = [&](std::string cell) { cells.push_back(std::move(cell)); };
  add(row.point.id);
  add(node.id);
  add(node.sectors[link.sector].id);
  add(degrees ? fixed(degrees->x, 7) : "");
  add(degrees ? fixed(degrees->y, 7) : "");
  for (const double metres : {place.x_m, place.y_m, row.point.elevation_m, row.point.height_agl_m,
                              link.distance_2d_m, link.distance_3d_m}) {
    add(fixed(metres, 3));
  }
  const std::string azimuth = fixed(link.azimuth.degrees(), 3);
  add(azimuth == "360.000" ? "0.000" : azimuth);  // due north is one direction
  add(fixed(link.elevation.degrees(), 3));
  add(std::string(to_string(link.sight)));
  add(std::string(to_string(link.cause)));
  add(cause_id(scene_, link.cause_obstacle));
  add(fixed(link.path.clearance.clearance_m, 3));
  add(fixed(link.path.clearance.fresnel_radii, 3));
  for (const TermGroup group : {TermGroup::free_space, TermGroup::diffraction, TermGroup::foliage,
                                TermGroup::penetration, TermGroup::gas_rain}) {
    add(fixed(link.sum(group).value, 3));
  }
  for (const double db : {link.pattern.value, link.reflection_gain.value, link.path_loss().value,
                          link.rsrp.value, link.snr.value}) {
    add(fixed(db, 3));
  }
  add(fixed(link.downlink_mbps, 1));
  add(fixed(link.uplink_mbps, 1));
  add(fixed(link.p_hold, 4));
  add(std::string(to_string(link.state)));
  add(fixed(link.foliage_low.value, 3));
  add(fixed(link.foliage_high.value, 3));
  for (const double mbps : {link.downlink_low_mbps, link.downlink_high_mbps, link.uplink_low_mbps,
                            link.uplink_high_mbps}) {
    add(fixed(mbps, 1));
  }
  return cells;
}

}  // namespace sim
