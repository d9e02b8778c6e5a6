#include <cmath>
#include <nlohmann/json.hpp>

#include "sim/explain/wording.h"
#include "sim/gis/gpx_file.h"
#include "sim/report/plan_files.h"
#include "sim/report/plan_words.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

/// Degrees with the elevation above the vertical datum.
class Places {
 public:
  explicit Places(const Scene& scene)
      : frame_(scene.frame), transform_(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84()) {}
  Coordinate at(ScenePoint p) const {
    const MapPoint map = frame_.map_from_scene(p);
    const auto degrees = transform_({map.x_m, map.y_m});
    const double none = std::nan("");
    return degrees ? Coordinate{degrees->x, degrees->y, map.z_m} : Coordinate{none, none, none};
  }

 private:
  const SceneFrame& frame_;
  CrsTransform transform_;
};

Json position_of(const Coordinate& c) {
  Json at = Json::array({rounded(c.x, 7), rounded(c.y, 7)});
  if (std::isfinite(c.z)) at.push_back(rounded(c.z, 2));
  return at;
}

}  // namespace

void write_route_gpx(const std::string& path, const Scene& scene, const Plan& plan,
                     const Stamp& stamp, LengthUnits units) {
  const Places places(scene);
  GpxRoute route{.waypoints = {}, .track_name = stamp.site_name + ": walk", .track = {}};
  for (const PlannedPosition& p : plan.positions) {
    route.waypoints.push_back({.at = places.at(p.at.stand.ground),
                               .name = p.id,
                               .description = place_text(scene, p, units) + ". " +
                                              upper_first(facing_text(p)) + ". Expect " +
                                              expected_text(p) +
                                              (p.landmark.empty() ? "" : ". " + p.landmark),
                               .kind = kind_text(p.kind)});
  }
  for (const ScenePoint p : plan.route.line) {
    const Coordinate c = places.at(p);
    // Rounded places make a device show the walk's corners alone.
    if (route.track.empty() || c.x != route.track.back().x || c.y != route.track.back().y) {
      route.track.push_back(c);
    }
  }
  write_gpx(path, route);
}

void write_route_geojson(const std::string& path, const Scene& scene, const Plan& plan) {
  const Places places(scene);
  Json features = Json::array();
  for (const PlannedPosition& p : plan.positions) {
    Json about{
        {"place", p.id},
        {"kind", to_string(p.kind)},
        {"partner", p.partner},
        {"node", scene.nodes[p.at.node].id},
        {"context", to_string(p.at.context)},
        {"along_street_m", rounded(p.at.along_street_m, 2)},
        {"distance_2d_m",
         rounded(horizontal_distance_m(scene.nodes[p.at.node].position, p.at.phone), 2)},
        {"face_deg", rounded(p.face.degrees(), 1)},
        {"predicted_rsrp_dbm", p.at.link ? rounded(p.at.link->rsrp.value, 1) : Json(nullptr)},
        {"p_hold", p.at.link ? rounded(p.at.link->p_hold, 3) : Json(nullptr)},
        {"margin_m", p.at.sight ? rounded(p.margin.margin_m, 1) : Json(nullptr)},
        {"landmark", p.landmark},
        {"repeats", p.repeats},
        {"why", p.why}};
    features.push_back(
        {{"type", "Feature"},
         {"id", p.id},
         {"geometry",
          {{"type", "Point"}, {"coordinates", position_of(places.at(p.at.stand.ground))}}},
         {"properties", about}});
  }
  if (plan.route.line.size() > 1) {
    Json line = Json::array();
    for (const ScenePoint p : plan.route.line) line.push_back(position_of(places.at(p)));
    features.push_back({{"type", "Feature"},
                        {"id", "walk"},
                        {"geometry", {{"type", "LineString"}, {"coordinates", line}}},
                        {"properties",
                         {{"kind", "walk"},
                          {"length_m", rounded(plan.route.length_m, 1)},
                          {"climb_m", rounded(plan.route.climb_m, 1)},
                          {"walking_s", rounded(plan.route.walking_s, 0)},
                          {"off_street_m", rounded(plan.route.off_street_m, 1)}}}});
  }
  const Json all{{"type", "FeatureCollection"}, {"features", features}};
  write_text(path, all.dump(1) + "\n");
}

}  // namespace sim
