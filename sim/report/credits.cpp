#include "sim/report/credits.h"

#include <algorithm>

namespace sim {
namespace {

/// OpenStreetMap objects carry their kind in their id.
bool from_openstreetmap(const std::string& id) {
  return id.starts_with("way/") || id.starts_with("relation/") || id.starts_with("node/");
}

bool osm_file(const std::string& path) { return path.ends_with(".osm") || path.ends_with(".pbf"); }

}  // namespace

std::vector<std::string> data_credits(const ImportedSite& imported, const Scene& scene) {
  const auto& layers = imported.report.layers;
  const bool osm = std::any_of(scene.obstacles.begin(), scene.obstacles.end(),
                               [](const Obstacle& o) { return from_openstreetmap(o.id); }) ||
                   std::any_of(scene.streets.begin(), scene.streets.end(),
                               [](const Street& s) { return from_openstreetmap(s.id); }) ||
                   std::any_of(layers.begin(), layers.end(),
                               [](const LayerCount& layer) { return osm_file(layer.path); });
  std::vector<std::string> credits;
  if (osm) {
    credits.emplace_back(
        "Map data \u00a9 OpenStreetMap contributors, under the Open Database License "
        "(openstreetmap.org/copyright)");
  }
  const auto& named = imported.site.credits;
  credits.insert(credits.end(), named.begin(), named.end());
  return credits;
}

}  // namespace sim
