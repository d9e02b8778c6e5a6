#include "sim/import/plan_keys.h"

#include <cmath>

#include "sim/import/site_words.h"

namespace sim {
namespace {

void read_layers(TomlSection& s, const char* key, const std::string& folder,
                 std::vector<PlanLayer>& layers) {
  s.sections(key, [&](TomlSection& section) {
    PlanLayer layer;
    layer.where = section.where();
    section.path("file", layer.file, folder);
    section.text("layer", layer.layer);
    section.text("where", layer.filter);
    layers.push_back(layer);
  });
}

void check_on_earth(const TomlSection& s, const char* key,
                    const std::vector<std::pair<double, double>>& places) {
  for (const auto& [lon, lat] : places) {
    const bool on_earth = std::abs(lon) <= 180.0 && std::abs(lat) <= 90.0;
    if (!on_earth) s.refuse(key, "holds a place that is not on Earth; write [lon, lat] in degrees");
  }
}

}  // namespace

void read_plan(TomlSection& s, const std::string& folder, PlanSettings& plan) {
  plan.where = s.where();
  s.number("step_m", plan.step_m, {2.0, 1000.0});
  int count = 0;
  s.integer("count", count, {1, 1000});
  if (count > 0) plan.count = count;
  s.number("reach_m", plan.reach_m, {1.0, 5000.0});
  if (plan.reach_m < plan.step_m) {
    s.refuse(s.has("reach_m") ? "reach_m" : "step_m",
             "leaves no step: reach_m must be at least step_m");
  }
  s.words("controls", plan.controls, control_words());
  s.pairs("control_points", plan.control_points);
  check_on_earth(s, "control_points", plan.control_points);
  s.pairs("route_start", plan.route_start);
  check_on_earth(s, "route_start", plan.route_start);
  if (plan.route_start.size() > 1) {
    s.refuse("route_start", "holds more than one place; a walk has one start: [[lon, lat]]");
  }
  read_layers(s, "avoid", folder, plan.avoid);
  read_layers(s, "parking", folder, plan.parking);
  s.path("addresses", plan.addresses, folder, false);
}

}  // namespace sim
