#include <set>

#include "sim/import/height_text.h"
#include "sim/import/importing.h"

namespace sim {

std::vector<AtPoint> read_points(const std::string& path, const Crs& site_crs) {
  const VectorTable table =
      read_vectors({.path = path, .layer = "", .where = "", .assume = site_crs}, site_crs);
  const auto height = table.field("height_agl_m"), context = table.field("context");
  const auto facing = table.field("facing");
  std::vector<AtPoint> points;
  for (const Feature& feature : table.features) {
    const auto* shape = std::get_if<PointSet>(&feature.geometry);
    if (shape == nullptr || shape->points.empty()) {
      throw InputError(feature.source,
                       "has no usable position; every row needs lon and lat, or x_m "
                       "and y_m in the site CRS");
    }
    AtPoint point{.id = feature_id(table, feature),
                  .place = {},
                  .height_agl_m = {},
                  .context = {},
                  .facing = {},
                  .source = feature.source};
    if (!table.field("id") && point.id.starts_with("row/")) {
      point.id = std::to_string(feature.source.record);
    }
    if (const std::string text = text_of(feature, height); !text.empty()) {
      point.height_agl_m = length_from_text(text);
      if (!point.height_agl_m || *point.height_agl_m < 0.0 || *point.height_agl_m > 500.0) {
        throw InputError(feature.source, "height_agl_m is '" + text +
                                             "', but must be a height between 0 and 500 m");
      }
    }
    if (const std::string text = text_of(feature, context); !text.empty()) {
      point.context = receiver_context_from(text);
      if (!point.context) {
        throw InputError(feature.source, "context is '" + text +
                                             "'; known are: outdoor, in_vehicle, behind_glass, "
                                             "body_blocked");
      }
    }
    if (const std::string text = text_of(feature, facing); !text.empty()) {
      point.facing = facing_from(text);
      if (!point.facing) {
        throw InputError(
            feature.source,
            "facing is '" + text +
                "', but must be held, node, away or degrees from true north within +-360");
      }
    }
    for (const Coordinate& c : shape->points) {
      point.place = {c.x, c.y};
      points.push_back(point);
    }
  }
  if (points.empty()) throw InputError({path, "", -1}, "holds no points");
  return points;
}

}  // namespace sim
