#include <algorithm>
#include <cmath>

#include "sim/scene/standing.h"

namespace sim {
namespace {

/// Walls reach this far below the lowest ground, so that no ray slips under them.
constexpr double skirt_m = 0.5;

}  // namespace

void stand_buildings(Standing& standing) {
  Scene& scene = standing.scene;
  for (const BuildingRecord& record : standing.imported.buildings) {
    FlatRings all;
    std::vector<FlatRings> polygons;
    for (const MapPolygon& polygon : record.polygons) {
      polygons.push_back(standing.flat(polygon));
      all.insert(all.end(), polygons.back().begin(), polygons.back().end());
    }
    Standing::GroundUnder under{1e300, -1e300, 0.0};
    for (const FlatRings& rings : polygons) {
      const auto part = standing.ground_under(rings);
      if (std::isnan(part.lowest_m)) continue;
      under.lowest_m = std::min(under.lowest_m, part.lowest_m);
      under.highest_m = std::max(under.highest_m, part.highest_m);
    }
    if (under.lowest_m > 1e299) {
      standing.drop(record.source, "off_ground", "building stands outside the ground raster");
      continue;
    }
    const double base = record.base_elevation_m
                            ? standing.height_of(*record.base_elevation_m, all[0][0])
                            : under.lowest_m;
    const double top = base + record.height_m;
    const double bottom = record.min_height_m > 0.0 ? base + record.min_height_m
                                                    : std::min(base, under.lowest_m) - skirt_m;
    const ObstacleId id =
        standing.open({.id = record.id,
                       .kind = ObstacleKind::building,
                       .what = "building",
                       .material = standing.material(record.material),
                       .base_m = record.min_height_m > 0.0 ? bottom : base,
                       .top_m = top,
                       .source = record.source,
                       .species_class = {},
                       .height_source = std::string(to_string(record.height_source)),
                       .crown = {}});
    BuildingOutline outline{.obstacle = id, .polygons = {}};
    for (const FlatRings& rings : polygons) {
      if (!add_prism(standing.pen(id), rings, bottom, top)) {
        standing.report.issues.push_back({Severity::repaired, record.source, "no_roof",
                                          "footprint crosses itself; the building has walls and no "
                                          "roof"});
      }
      auto& rings_out = outline.polygons.emplace_back();
      for (const auto& ring : rings) {
        auto& out = rings_out.emplace_back();
        for (const FlatPoint p : ring) out.push_back({p.x_m, p.y_m, base});
      }
    }
    standing.close(id);
    scene.outlines.push_back(std::move(outline));
  }
}

}  // namespace sim
