// A prediction for the page: the grid, its edges, the drops, and the streets walked.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/wording.h"
#include "sim/gis/raster_file.h"
#include "sim/report/street_verdicts.h"
#include "sim/view/band_codes.h"
#include "sim/view/packed.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

/// Stations are walked every metre or two; a plot needs no more than these.
constexpr double run_step_m = 5.0;

Json bands_view(const PredictionGrid& grid) {
  Json bands = Json::object();
  for (const CodedBand& band : coded_bands(grid)) {
    bands[band.name] = packed_bytes(band.type, band.bytes, band.bytes_each);
  }
  return bands;
}

Json run_row(const StationLink& link, const Station& station, double distance_3d_m, Db sigma) {
  return {{"along_m", rounded(station.along_m, 2)},
          {"x_m", rounded(station.place.x_m, 2)},
          {"y_m", rounded(station.place.y_m, 2)},
          {"distance_3d_m", rounded(distance_3d_m, 1)},
          {"sight", to_string(link.sight)},
          {"state", to_string(link.state)},
          {"p_hold", rounded(link.p_hold, 3)},
          {"rsrp_dbm", rounded(link.rsrp.value, 1)},
          {"sigma_db", rounded(sigma.value, 1)},
          {"downlink_mbps", rounded(link.downlink_mbps, 0)},
          {"downlink_low_mbps", rounded(link.downlink_low_mbps, 0)},
          {"downlink_high_mbps", rounded(link.downlink_high_mbps, 0)}};
}

bool holds_somewhere(const StreetWalk& walk) {
  return std::any_of(walk.stations.begin(), walk.stations.end(), [](const Station& station) {
    return station.held_outward || station.held_inward;
  });
}

Json run_view(const Scene& scene, const StreetWalk& walk) {
  Json rows = Json::array();
  double next_m = -1e300;
  for (const Station& station : walk.stations) {
    if (!station.best || station.along_m < next_m) continue;
    next_m = station.along_m + run_step_m - 1e-6;
    const StationLink& link = *station.best;
    const Defaults& defaults = scene.conditions.defaults;
    const double shadow =
        defaults(link.sight == Sight::nlos ? "shadow_sigma_nlos_db" : "shadow_sigma_los_db");
    const ScenePoint node = scene.nodes[link.node].position;
    ScenePoint phone = station.place;
    phone.z_m += scene.conditions.receiver_height_agl_m;
    rows.push_back(
        run_row(link, station, distance_m(node, phone), Db(std::hypot(shadow, link.spread.value))));
  }
  return {{"street", name_of(walk)},
          {"node", scene.nodes[walk.from_node].id},
          {"off_street_m", rounded(walk.off_street_m, 1)},
          {"rows", std::move(rows)}};
}

Json drop_view(const Scene& scene, const DropStretch& drop) {
  const auto sentence = [&](LengthUnits units) {
    return fmt::format("{}, {} from {}: {}.", drop.side.street, compass_word(drop.side.heading),
                       drop.side.from_node, drop_text(scene, drop, units));
  };
  return {{"street", drop.side.street},        {"node", drop.side.from_node},
          {"from_m", rounded(drop.from_m, 1)}, {"to_m", rounded(drop.to_m, 1)},
          {"cause", to_string(drop.cause)},    {"thing", thing_index(drop.cause_obstacle)},
          {"line", line_json(drop.line)},      {"sentence", text_json(sentence)}};
}

/// A side of a street that never has the link loses none: its dark ground says so.
bool held_before(const StreetVerdicts& streets, const DropStretch& drop) {
  return std::any_of(streets.reaches.begin(), streets.reaches.end(), [&](const StreetReach& reach) {
    return reach.holds && reach.side.street_id == drop.side.street_id &&
           reach.side.street == drop.side.street && reach.side.forward == drop.side.forward;
  });
}

}  // namespace

Json edges_view(const Scene& scene, const PredictionGrid& grid) {
  Json edges = Json::array();
  for (const Contour& contour : contours(grid.spec, grid.band("p_hold"), {0.9, 0.5, 0.1})) {
    Json lines = Json::array();
    for (const CoordinateList& line : contour.lines.lines) {
      Json places = Json::array();
      for (const Coordinate p : line) {
        places.push_back(
            {rounded(p.x - scene.frame.origin.x_m, 1), rounded(p.y - scene.frame.origin.y_m, 1)});
      }
      lines.push_back(std::move(places));
    }
    edges.push_back({{"p_hold", contour.level}, {"lines", std::move(lines)}});
  }
  return edges;
}

Json drops_view(const Scene& scene, const StreetVerdicts& streets) {
  Json drops = Json::array();
  for (const DropStretch& drop : streets.drops) {
    if (drop.direction != WalkDirection::outward || !held_before(streets, drop)) continue;
    drops.push_back(drop_view(scene, drop));
  }
  return drops;
}

Json runs_view(const Scene& scene, const std::vector<StreetWalk>& walks) {
  Json runs = Json::array();
  for (const StreetWalk& walk : walks) {
    if (holds_somewhere(walk)) runs.push_back(run_view(scene, walk));
  }
  return runs;
}

Json prediction_view(const Scene& scene, const PredictionGrid& grid,
                     const std::vector<StreetWalk>& walks, const StreetVerdicts& streets) {
  const PageGrid cells = page_grid(grid.spec, scene.frame);
  return {{"grid",
           {{"x0_m", cells.x0_m},
            {"y0_m", cells.y0_m},
            {"step_m", cells.step_m},
            {"columns", cells.columns},
            {"rows", cells.rows}}},
          {"sector_names", grid.sector_names},
          {"causes", cause_names()},
          {"bands", bands_view(grid)},
          {"edges", edges_view(scene, grid)},
          {"drops", drops_view(scene, streets)},
          {"runs", runs_view(scene, walks)}};
}

std::string edges_json(const Scene& scene, const PredictionGrid& grid) {
  return text_of(edges_view(scene, grid));
}

}  // namespace sim
