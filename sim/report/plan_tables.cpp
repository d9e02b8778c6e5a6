#include "sim/gis/csv_file.h"
#include "sim/report/number_text.h"
#include "sim/report/plan_files.h"

namespace sim {
namespace {

class Degrees {
 public:
  explicit Degrees(const Scene& scene)
      : frame_(scene.frame), transform_(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84()) {}
  std::string lon_lat(ScenePoint p) const {
    const MapPoint map = frame_.map_from_scene(p);
    const auto at = transform_({map.x_m, map.y_m});
    return at ? fixed(at->x, 7) + "," + fixed(at->y, 7) : ",";
  }

 private:
  const SceneFrame& frame_;
  CrsTransform transform_;
};

/// What the tester fills in: names that a survey knows.
constexpr const char* measured_columns =
    "time,accuracy_m,rsrp_dbm,sinr_db,downlink_mbps,uplink_mbps,latency_ms,connected,note";
constexpr const char* measured_blanks = ",,,,,,,,";

std::string link_cells(const Scene& scene, const PlannedPosition& p) {
  if (!p.at.link) return ",,,,,,,,,,,,,";
  const LinkResult& link = *p.at.link;
  const double level = link.rsrp.value, spread = link.sigma.value;
  std::string text = std::string(to_string(link.sight)) + "," + std::string(to_string(link.cause)) +
                     "," + csv_field(cause_id(scene, link.cause_obstacle));
  for (const double value :
       {level, level - spread, level + spread, link.downlink_mbps, link.downlink_low_mbps,
        link.downlink_high_mbps, link.uplink_mbps, link.uplink_low_mbps, link.uplink_high_mbps}) {
    text += "," + fixed(value, 1);
  }
  return text + "," + fixed(link.p_hold, 3) + "," + std::string(to_string(link.state));
}

}  // namespace

void write_positions_csv(const std::string& path, const Scene& scene, const Plan& plan) {
  const Degrees degrees(scene);
  std::string text =
      std::string(
          "place,kind,partner,node,sector,lon,lat,x_m,y_m,elevation_m,height_agl_m,on_street,"
          "on_side,off_centre_m,placed_by,along_street_m,distance_2d_m,distance_3d_m,azimuth_deg,"
          "face_deg,facing,context,sight,cause,cause_id,predicted_rsrp_dbm,"
          "predicted_rsrp_low_dbm,predicted_rsrp_high_dbm,predicted_downlink_mbps,"
          "predicted_downlink_low_mbps,predicted_downlink_high_mbps,predicted_uplink_mbps,"
          "predicted_uplink_low_mbps,predicted_uplink_high_mbps,p_hold,state,margin_m,"
          "margin_at_least,not_towards_deg,margin_cause_id,landmark,repeats,repeats_why,why,"
          "caution,walked_m,") +
      measured_columns + "\n";
  for (std::size_t i = 0; i < plan.positions.size(); ++i) {
    const PlannedPosition& p = plan.positions[i];
    const Node& node = scene.nodes[p.at.node];
    const MapPoint map = scene.frame.map_from_scene(p.at.stand.ground);
    const auto add = [&](const std::string& cell) { text += csv_field(cell) + ","; };
    add(p.id);
    add(std::string(to_string(p.kind)));
    add(p.partner);
    add(node.id);
    add(p.at.link ? node.sectors[p.at.link->sector].id : "");
    text += degrees.lon_lat(p.at.stand.ground) + ",";
    for (const double metres : {map.x_m, map.y_m, map.z_m, p.at.height_agl_m}) {
      add(fixed(metres, 3));
    }
    add(p.street);
    add(p.side);
    add(fixed(p.at.stand.off_m, 2));
    add(p.at.stand.placed_by);
    add(fixed(p.at.along_street_m, 2));
    add(fixed(horizontal_distance_m(node.position, p.at.phone), 2));
    add(fixed(distance_m(node.position, p.at.phone), 2));
    add(fixed(scene.frame.true_azimuth(node.position, p.at.phone).degrees(), 1));
    add(fixed(p.face.degrees(), 1));
    add("node");
    add(std::string(to_string(p.at.context)));
    text += link_cells(scene, p) + ",";
    add(p.at.sight ? fixed(p.margin.margin_m, 1) : "");
    add(p.at.sight ? (p.margin.at_least ? "yes" : "no") : "");
    add(p.margin.not_towards ? fixed(p.margin.not_towards->degrees(), 0) : "");
    add(cause_id(scene, p.margin.blocker));
    add(p.landmark);
    add(std::to_string(p.repeats));
    add(p.repeats_why);
    add(p.why);
    add(p.note);
    add(i < plan.route.reached_m.size() ? fixed(plan.route.reached_m[i], 1) : "");
    text += std::string(measured_blanks) + "\n";
  }
  write_text(path, text);
}

void write_to_fill_csv(const std::string& path, const Scene& scene, const Plan& plan) {
  const Degrees degrees(scene);
  std::string text =
      std::string("place,reading,lon,lat,node,context,facing,") + measured_columns + "\n";
  for (const PlannedPosition& p : plan.positions) {
    for (std::size_t k = 1; k <= p.repeats; ++k) {
      text += csv_field(p.id) + "," + std::to_string(k) + "," + degrees.lon_lat(p.at.stand.ground) +
              "," + csv_field(scene.nodes[p.at.node].id) + "," +
              std::string(to_string(p.at.context)) + ",node," + measured_blanks + "\n";
    }
  }
  write_text(path, text);
}

}  // namespace sim
