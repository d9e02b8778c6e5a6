#include "sim/plan/ways.h"

#include <set>

namespace sim {
namespace {

bool is_one_of(const std::string& word, const std::set<std::string>& words) {
  return words.contains(word);
}

/// Classes of OpenStreetMap on which nobody walks beside the traffic.
bool no_place_for_feet(const std::string& highway) {
  return is_one_of(highway, {"motorway", "motorway_link", "trunk_link", "construction", "proposed",
                             "raceway", "bus_guideway", "busway", "corridor", "elevator",
                             "platform", "rest_area", "services"});
}
bool feet_alone(const std::string& highway) {
  return is_one_of(highway,
                   {"footway", "path", "pedestrian", "steps", "bridleway", "cycleway", "track"});
}

double usual_width_m(const std::string& highway, const Defaults& defaults) {
  if (is_one_of(highway, {"trunk", "primary", "secondary", "tertiary", "primary_link",
                          "secondary_link", "tertiary_link"})) {
    return defaults("street_width_main_m");
  }
  return defaults(highway == "service" ? "street_width_service_m" : "street_width_local_m");
}

}  // namespace

std::string_view to_string(WidthFrom from) {
  switch (from) {
    case WidthFrom::record:
      return "record";
    case WidthFrom::lanes:
      return "lanes";
    case WidthFrom::fallback:
      return "default";
  }
  return "";
}

std::string name_of(const WalkerStreet& way) {
  return way.name.empty() ? "unnamed " + way.id : way.name;
}

std::vector<WalkerStreet> ways_of(const ImportedSite& imported, const Scene& scene) {
  const Defaults& defaults = scene.conditions.defaults;
  std::vector<WalkerStreet> ways;
  ways.reserve(imported.streets.size());
  for (const StreetRecord& street : imported.streets) {
    WalkerStreet way{.id = street.id, .name = street.name, .line = {}};
    for (const Xy p : street.line) {
      const ScenePoint at = scene.frame.scene_from_map({p.x, p.y, 0.0});
      way.line.push_back({at.x_m, at.y_m});
    }
    way.for_feet_alone = feet_alone(street.highway);
    way.walkable = !street.closed_on_foot && !no_place_for_feet(street.highway);
    way.bridge = street.bridge;
    if (!way.for_feet_alone) {
      if (street.width_m) {
        way.half_width_m = 0.5 * *street.width_m;
        way.width_from = WidthFrom::record;
      } else if (street.lanes) {
        way.half_width_m = 0.5 * *street.lanes * defaults("lane_width_m");
        way.width_from = WidthFrom::lanes;
      } else {
        way.half_width_m = 0.5 * usual_width_m(street.highway, defaults);
      }
    }
    ways.push_back(std::move(way));
  }
  return ways;
}

}  // namespace sim
