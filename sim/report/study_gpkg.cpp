#include <cmath>

#include "sim/explain/wording.h"
#include "sim/gis/raster_file.h"
#include "sim/report/answers.h"
#include "sim/report/scene_layers.h"

namespace sim {
namespace {

using Type = OutputField::Type;

constexpr double wedge_half_angle_deg = 32.5;  // half of the element's beamwidth, TR 38.901 7.3

OutputLayer sector_layer(const Scene& scene, double radius_m) {
  OutputLayer layer{.name = "sectors",
                    .shape = OutputLayer::Shape::polygon,
                    .fields = {{"node", Type::text},
                               {"sector", Type::text},
                               {"azimuth_deg", Type::real},
                               {"downtilt_deg", Type::real},
                               {"frequency_ghz", Type::real},
                               {"bandwidth_mhz", Type::real},
                               {"eirp_dbm", Type::real},
                               {"pattern", Type::text}},
                    .features = {}};
  for (const Node& node : scene.nodes) {
    for (const Sector& sector : node.sectors) {
      CoordinateList ring{map_coordinate(scene.frame, node.position)};
      for (int k = -13; k <= 13; ++k) {
        const Angle azimuth =
            sector.azimuth + Angle::degrees(wedge_half_angle_deg * static_cast<double>(k) / 13.0);
        ring.push_back(map_coordinate(
            scene.frame, node.position + radius_m * scene.frame.direction(azimuth, node.position)));
      }
      ring.push_back(ring.front());
      layer.features.push_back(
          {PolygonSet{{PolygonShape{{ring}}}},
           {node.id, sector.id, sector.azimuth.degrees(), sector.downtilt.degrees(),
            sector.frequency.ghz(), sector.bandwidth_mhz, sector.eirp.value, sector.pattern}});
    }
  }
  return layer;
}

/// Empty where the sector's pattern has no beams.
FieldValue beam_of(const LinkResult& link) {
  if (link.beam < 0) return std::monostate{};
  return std::int64_t{link.beam};
}
FieldValue beam_angle(const LinkResult& link, Angle angle) {
  if (link.beam < 0) return std::monostate{};
  return angle.degrees();
}

OutputLayer receiver_layer(const Scene& scene, const ReceiverAnswers* answers) {
  OutputLayer layer{.name = "receivers",
                    .shape = OutputLayer::Shape::point,
                    .fields = {{"point_id", Type::text},
                               {"node", Type::text},
                               {"sector", Type::text},
                               {"sight", Type::text},
                               {"cause", Type::text},
                               {"cause_id", Type::text},
                               {"path_loss_db", Type::real},
                               {"rsrp_dbm", Type::real},
                               {"p_hold", Type::real},
                               {"state", Type::text},
                               {"beam", Type::integer},
                               {"beam_azimuth_deg", Type::real},
                               {"beam_elevation_deg", Type::real},
                               {"broadcast_over_data_db", Type::real},
                               {"interference_db", Type::real}},
                    .features = {}};
  if (answers == nullptr) return layer;
  for (const ReceiverRow& row : answers->rows) {
    const LinkResult& link = row.link;
    const Node& node = scene.nodes[link.node];
    layer.features.push_back(
        {PointSet{{map_coordinate(scene.frame, link.receiver.position)}},
         {row.point.id, node.id, node.sectors[link.sector].id, std::string(to_string(link.sight)),
          std::string(to_string(link.cause)), cause_id(scene, link.cause_obstacle),
          link.path_loss().value, link.rsrp.value, link.p_hold, std::string(to_string(link.state)),
          beam_of(link), beam_angle(link, link.beam_points.azimuth),
          beam_angle(link, link.beam_points.elevation), link.broadcast.value,
          link.interference.value}});
  }
  return layer;
}

OutputLayer edge_layer(const PredictionGrid* grid) {
  OutputLayer layer{.name = "edge",
                    .shape = OutputLayer::Shape::line,
                    .fields = {{"p_hold", Type::real}},
                    .features = {}};
  if (grid == nullptr || grid->bands.empty()) return layer;
  for (Contour& contour : contours(grid->spec, grid->band("p_hold"), {0.9, 0.5, 0.1})) {
    if (!contour.lines.lines.empty()) {
      layer.features.push_back({std::move(contour.lines), {contour.level}});
    }
  }
  return layer;
}

OutputLayer drop_layer(const Scene& scene, const std::vector<DropStretch>& drops) {
  OutputLayer layer{.name = "drops",
                    .shape = OutputLayer::Shape::line,
                    .fields = {{"street_id", Type::text},
                               {"street", Type::text},
                               {"from_m", Type::real},
                               {"to_m", Type::real},
                               {"state", Type::text},
                               {"cause", Type::text},
                               {"cause_id", Type::text},
                               {"node", Type::text},
                               {"sector", Type::text},
                               {"from_node", Type::text},
                               {"towards", Type::text},
                               {"direction", Type::text},
                               {"from_low_m", Type::real},
                               {"from_high_m", Type::real},
                               {"to_low_m", Type::real},
                               {"to_high_m", Type::real},
                               {"probability", Type::real},
                               {"open_end", Type::text}},
                    .features = {}};
  for (const DropStretch& drop : drops) {
    CoordinateList line;
    for (const ScenePoint p : drop.line) line.push_back(map_coordinate(scene.frame, p));
    if (line.size() == 1) line.push_back(line.front());
    layer.features.push_back(
        {LineSet{{line}},
         {drop.side.street_id, drop.side.street, drop.from_m, drop.to_m,
          std::string(to_string(drop.worst)), std::string(to_string(drop.cause)),
          cause_id(scene, drop.cause_obstacle), drop.node, drop.sector, drop.side.from_node,
          compass_word(drop.side.heading), std::string(to_string(drop.direction)),
          drop.from_interval.low, drop.from_interval.high, drop.to_interval.low,
          drop.to_interval.high, drop.probability, std::string(drop.open_end ? "yes" : "no")}});
  }
  return layer;
}

}  // namespace

void write_study(const std::string& path, const Scene& scene, const PredictionGrid* grid,
                 const std::vector<DropStretch>& drops, const ReceiverAnswers* answers,
                 const PredictOptions& options) {
  write_geopackage(
      path, Crs::parse(scene.frame.crs_wkt, {path, "", -1}),
      {building_layer(scene), pole_layer(scene), tree_layer(scene), object_layer(scene),
       node_layer(scene), sector_layer(scene, 0.25 * options.radius_m),
       receiver_layer(scene, answers), edge_layer(grid), drop_layer(scene, drops)});
}

void write_scene_gpkg(const std::string& path, const Scene& scene) {
  write_geopackage(path, Crs::parse(scene.frame.crs_wkt, {path, "", -1}),
                   {building_layer(scene), pole_layer(scene), tree_layer(scene),
                    object_layer(scene), node_layer(scene)});
}

}  // namespace sim
