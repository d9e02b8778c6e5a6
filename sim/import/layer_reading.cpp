#include <algorithm>
#include <array>
#include <cmath>

#include "sim/import/height_text.h"
#include "sim/import/importing.h"
#include "sim/import/nearest_word.h"

namespace sim {
namespace {

/// First coordinate of a shape; nullopt for none.
std::optional<MapBounds> extent(const Geometry& geometry) {
  std::optional<MapBounds> box;
  const auto add = [&](const CoordinateList& list) {
    for (const Coordinate& c : list) {
      if (!box) box = MapBounds{c.x, c.y, c.x, c.y};
      *box = {std::min(box->west, c.x), std::min(box->south, c.y), std::max(box->east, c.x),
              std::max(box->north, c.y)};
    }
  };
  if (const auto* points = std::get_if<PointSet>(&geometry)) add(points->points);
  if (const auto* lines = std::get_if<LineSet>(&geometry)) {
    for (const auto& line : lines->lines) add(line);
  }
  if (const auto* polygons = std::get_if<PolygonSet>(&geometry)) {
    for (const auto& shape : polygons->polygons) add(shape.rings.front());
  }
  return box;
}

bool is_osm(const std::string& path) { return path.ends_with(".osm") || path.ends_with(".pbf"); }

}  // namespace

void Importing::note(Severity severity, const SourceRef& where, const std::string& code,
                     const std::string& message) {
  if (strict && (severity == Severity::dropped || severity == Severity::repaired)) {
    throw InputError(where, message);
  }
  site.report.issues.push_back({severity, where, code, message});
}

double Importing::ground_at(Xy place) const {
  return site.ground.empty() ? site.site.ground.elevation_m : site.ground.sample(place.x, place.y);
}

LayerRead read_layer(Importing& importing, const LayerAsk& ask) {
  VectorQuery query{.path = ask.file, .layer = ask.layer, .where = ask.filter, .assume = {}};
  if (query.where.empty() && is_osm(ask.file)) query.where = ask.osm_filter;
  query.max_features = static_cast<std::size_t>(importing.site.site.max_features);
  LayerRead read{read_vectors(query, importing.site.crs), 0};
  if (read.table.features.empty()) {
    throw InputError({ask.file, ask.layer, -1},
                     "holds no " + ask.what + (query.where.empty() ? "" : " where " + query.where) +
                         "; take the section out of the site file, or check layer and where");
  }
  LayerCount count{.what = ask.what, .path = ask.file, .layer = ask.layer};
  count.read = read.table.features.size();
  auto& features = read.table.features;
  const MapBounds& area = importing.area;
  std::vector<Feature> kept;
  kept.reserve(features.size());
  for (Feature& feature : features) {
    const auto box = extent(feature.geometry);
    if (!box) {
      ++count.dropped;
      importing.note(Severity::dropped, feature.source, "no_geometry",
                     "has no usable position (missing, not a number, or not on Earth)");
    } else if (box->west > area.east || box->east < area.west || box->south > area.north ||
               box->north < area.south) {
      ++count.outside;
    } else {
      kept.push_back(std::move(feature));
    }
  }
  features = std::move(kept);
  if (features.empty() && count.outside > 0) {
    importing.note(
        Severity::noted, {ask.file, ask.layer, -1}, "all_outside",
        "none of its " + std::to_string(count.read) + " features lies in the area of the site");
  }
  read.count = importing.site.report.layers.size();
  importing.site.report.layers.push_back(count);
  return read;
}

std::size_t named_field(const VectorTable& table, const std::string& field,
                        const SourceRef& where) {
  if (const auto column = table.field(field)) return *column;
  throw InputError(
      where, "field '" + field + "' is not in " + table.path + suggestion(field, table.fields));
}

std::optional<std::size_t> field_or(const VectorTable& table, const std::string& field,
                                    std::initializer_list<const char*> usual,
                                    const SourceRef& where) {
  if (!field.empty()) return named_field(table, field, where);
  for (const char* name : usual) {
    if (const auto column = table.field(name)) return column;
  }
  return std::nullopt;
}

std::string feature_id(const VectorTable& table, const Feature& feature) {
  const std::string& layer = feature.source.layer;
  if (const std::string way = text_of(feature, table.field("osm_way_id")); !way.empty()) {
    return "way/" + way;
  }
  if (std::string osm = text_of(feature, table.field("osm_id")); !osm.empty()) {
    if (layer == "points") return "node/" + osm;
    if (layer == "lines") return "way/" + osm;
    if (layer == "multipolygons") return "relation/" + osm;
    return osm;
  }
  for (const char* name : {"id", "osm", "fid_source", "name"}) {
    if (std::string own = text_of(feature, table.field(name)); !own.empty()) return own;
  }
  return (layer.empty() ? "row" : layer) + "/" + std::to_string(feature.source.record);
}

std::string text_of(const Feature& feature, std::optional<std::size_t> column) {
  return column && feature.values[*column] ? *feature.values[*column] : "";
}

std::optional<double> length_of(Importing& importing, const Feature& feature,
                                std::optional<std::size_t> column, const std::string& name) {
  const std::string text = text_of(feature, column);
  if (text.empty()) return std::nullopt;
  const auto value = length_from_text(text);
  if (text == "nan" || text == "NaN") {
    throw InputError(feature.source, name + " is '" + text +
                                         "', which is not a number; leave it empty where there is "
                                         "none");
  }
  if (value && *value < 0.0) {
    // Most often a wrong field, or elevations taken for heights: better no answer than a wrong one.
    throw InputError(feature.source, name + " is " + text +
                                         ", but it must not be negative; correct the record, name "
                                         "another field, or leave it out with where");
  }
  std::size_t& repaired = importing.site.report.layers.back().repaired;
  if (!value) {
    ++repaired;
    importing.note(Severity::repaired, feature.source, name + "_unreadable",
                   name + " '" + text + "' is no length; it was left out");
    return std::nullopt;
  }
  if (*value == 0.0 || *value > 2000.0) {
    // Zero stands for "unknown" in many datasets; only an absurd number is a mistake.
    if (*value != 0.0) {
      ++repaired;
      importing.note(Severity::repaired, feature.source, name + "_not_physical",
                     name + " '" + text + "' cannot be; it was left out");
    }
    return std::nullopt;
  }
  return value;
}

}  // namespace sim
