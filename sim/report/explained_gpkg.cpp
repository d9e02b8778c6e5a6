#include <charconv>

#include "sim/report/explained_files.h"
#include "sim/report/explained_row.h"
#include "sim/report/scene_layers.h"

namespace sim {
namespace {

using Type = OutputField::Type;

FieldValue value_of(const ExplainedColumn& column, const std::string& cell) {
  if (cell.empty()) return std::monostate{};
  if (!column.is_number) return cell;
  double value = 0.0;
  std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return value;
}

OutputLayer explained_layer(const Scene& scene, const Explanation& explanation) {
  OutputLayer layer{.name = "explained", .shape = OutputLayer::Shape::point, .features = {}};
  for (const ExplainedColumn& column : explained_columns()) {
    layer.fields.push_back({column.name, column.is_number ? Type::real : Type::text});
  }
  for (const ExplainedPoint& point : explanation.points) {
    OutputFeature feature;
    if (const auto& place = point.measurement.place) {
      const double z = point.stand ? point.stand->elevation_m + point.stand->height_agl_m : 0.0;
      feature.geometry = PointSet{{{place->x, place->y, z}}};
    }
    for (const ExplainedColumn& column : explained_columns()) {
      feature.values.push_back(value_of(column, column.cell(scene, point)));
    }
    layer.features.push_back(std::move(feature));
  }
  return layer;
}

OutputLayer suspect_layer(const Scene& scene, const Explanation& explanation) {
  OutputLayer layer{.name = "suspects",
                    .shape = OutputLayer::Shape::point,
                    .fields = {{"node", Type::text},
                               {"likelihood", Type::real},
                               {"width_m", Type::real},
                               {"height_m", Type::real},
                               {"points", Type::integer},
                               {"rows", Type::text},
                               {"enough_evidence", Type::text}},
                    .features = {}};
  for (const Suspect& suspect : explanation.suspects) {
    std::string rows;
    for (const std::size_t i : suspect.points) {
      const Measurement& m = explanation.points[i].measurement;
      rows += (rows.empty() ? "" : ", ") + m.survey + ":" + std::to_string(m.row);
    }
    layer.features.push_back({PointSet{{map_coordinate(scene.frame, suspect.place)}},
                              {scene.nodes[suspect.node].id, suspect.likelihood, suspect.width_m,
                               suspect.height_m, static_cast<std::int64_t>(suspect.points.size()),
                               rows, std::string(suspect.enough_evidence ? "yes" : "no")}});
  }
  return layer;
}

}  // namespace

void write_explained_gpkg(const std::string& path, const Scene& scene,
                          const Explanation& explanation) {
  write_geopackage(path, Crs::parse(scene.frame.crs_wkt, {path, "", -1}),
                   {explained_layer(scene, explanation), suspect_layer(scene, explanation),
                    building_layer(scene), pole_layer(scene), tree_layer(scene),
                    object_layer(scene), node_layer(scene)});
}

}  // namespace sim
