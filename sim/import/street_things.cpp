#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "sim/import/asset_tables.h"
#include "sim/import/height_text.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

/// Every single point of a feature.
CoordinateList points_of(const Feature& feature) {
  const auto* points = std::get_if<PointSet>(&feature.geometry);
  return points == nullptr ? CoordinateList{} : points->points;
}

void drop(Importing& importing, const LayerRead& read, const Feature& feature,
          const std::string& code, const std::string& why) {
  ++importing.site.report.layers[read.count].dropped;
  importing.note(Severity::dropped, feature.source, code, why);
}

/// Several records on one spot are one thing; the first is kept.
class Spots {
 public:
  bool taken(Xy p) {
    const auto key = std::pair(std::llround(p.x * 20.0), std::llround(p.y * 20.0));  // 5 cm
    return !seen_.insert(key).second;
  }

 private:
  std::set<std::pair<long long, long long>> seen_;
};

std::string species_of(const TreeLayer& layer, const VectorTable& table, const Feature& feature) {
  if (!layer.species_class.empty()) return layer.species_class;
  const auto column =
      field_or(table, layer.species_field, {"species_class", "leaf_type"}, layer.where);
  const std::string leaf = text_of(feature, column);
  return leaf == "needleleaved" || leaf == "conifer" ? "conifer" : "broadleaf";
}

}  // namespace

void import_poles(Importing& importing) {
  for (const PoleLayer& layer : importing.site.site.poles) {
    const LayerRead read = read_layer(importing, {.what = "poles",
                                                  .file = layer.file,
                                                  .layer = layer.layer,
                                                  .filter = layer.filter,
                                                  .osm_filter = "highway = 'street_lamp'",
                                                  .where = layer.where});
    const auto height =
        field_or(read.table, layer.height_field, {"height_m", "height"}, layer.where);
    const auto diameter =
        field_or(read.table, layer.diameter_field, {"diameter_m", "diameter"}, layer.where);
    Spots spots;
    for (const Feature& feature : read.table.features) {
      const CoordinateList points = points_of(feature);
      if (points.empty()) {
        drop(importing, read, feature, "not_a_point", "is no point, so no pole");
        continue;
      }
      const auto own_height = length_of(importing, feature, height, "height");
      const auto own_diameter = length_of(importing, feature, diameter, "diameter");
      for (const Coordinate& c : points) {
        if (spots.taken({c.x, c.y})) {
          drop(importing, read, feature, "same_place", "stands where another pole stands already");
          continue;
        }
        importing.site.poles.push_back(
            {.id = feature_id(read.table, feature),
             .place = {c.x, c.y},
             .height_m = own_height.value_or(layer.default_height_m),
             .diameter_m = own_diameter.value_or(layer.default_diameter_m),
             .height_defaulted = !own_height,
             .source = feature.source});
        LayerCount& count = importing.site.report.layers[read.count];
        ++count.used;
        count.defaulted += own_height ? 0U : 1U;
      }
    }
  }
}

void import_trees(Importing& importing) {
  for (const TreeLayer& layer : importing.site.site.trees) {
    const LayerRead read =
        read_layer(importing, {.what = "trees",
                               .file = layer.file,
                               .layer = layer.layer,
                               .filter = layer.filter,
                               .osm_filter = "natural IN ('tree', 'wood') OR landuse = 'forest'",
                               .where = layer.where});
    const auto height =
        field_or(read.table, layer.height_field, {"height_m", "height"}, layer.where);
    const auto crown = field_or(read.table, layer.crown_diameter_field,
                                {"crown_diameter_m", "diameter_crown"}, layer.where);
    Spots spots;
    for (const Feature& feature : read.table.features) {
      const auto own_height = length_of(importing, feature, height, "height");
      const double tall = own_height.value_or(layer.default_height_m);
      const std::string species = species_of(layer, read.table, feature);
      LayerCount& count = importing.site.report.layers[read.count];
      if (const auto* shape = std::get_if<PolygonSet>(&feature.geometry)) {
        std::string reason;
        const auto sound = repaired(*shape, reason);
        if (!sound) {
          drop(importing, read, feature, "no_area", "woodland encloses no area (" + reason + ")");
          continue;
        }
        importing.site.woodlands.push_back({.id = feature_id(read.table, feature),
                                            .polygons = map_polygons(*sound),
                                            .height_m = tall,
                                            .species_class = species,
                                            .source = feature.source});
        ++count.used;
        count.repaired += reason.empty() ? 0U : 1U;
        continue;
      }
      if (points_of(feature).empty()) {
        drop(importing, read, feature, "not_a_tree", "is neither a point nor a polygon");
        continue;
      }
      const auto own_crown = length_of(importing, feature, crown, "crown_diameter");
      for (const Coordinate& c : points_of(feature)) {
        if (spots.taken({c.x, c.y})) {
          drop(importing, read, feature, "same_place", "stands where another tree stands already");
          continue;
        }
        importing.site.trees.push_back(
            {.id = feature_id(read.table, feature),
             .place = {c.x, c.y},
             .height_m = tall,
             .crown_diameter_m = own_crown.value_or(layer.default_crown_diameter_m),
             .height_defaulted = !own_height,
             .species_class = species,
             .source = feature.source});
        ++count.used;
        count.defaulted += own_height ? 0U : 1U;
      }
    }
  }
}

namespace {

/// A number written in the site file, or read from the field it names; nullopt when neither.
std::optional<double> object_value(Importing& importing, const VectorTable& table,
                                   const Feature& feature, const ValueOrField& setting,
                                   const char* usual, const SourceRef& where, bool is_length) {
  if (const auto* value = std::get_if<double>(&setting)) return *value;
  const auto* field = std::get_if<std::string>(&setting);
  const auto column =
      field == nullptr ? table.field(usual) : std::optional(named_field(table, *field, where));
  if (is_length) return length_of(importing, feature, column, usual);
  const std::string text = text_of(feature, column);
  const auto degrees = length_from_text(text);
  if (!text.empty() && !degrees) {
    importing.note(Severity::defaulted, feature.source, "heading_unreadable",
                   "heading '" + text + "' is no number of degrees; north was taken");
  }
  return degrees;
}

std::optional<ObjectKind> object_kind(const std::string& word) {
  for (int k = 0; k <= static_cast<int>(ObjectKind::person); ++k) {
    if (to_string(static_cast<ObjectKind>(k)) == word) return static_cast<ObjectKind>(k);
  }
  return std::nullopt;
}

}  // namespace

void import_objects(Importing& importing) {
  const auto sizes = read_object_sizes();
  for (const ObjectLayer& layer : importing.site.site.objects) {
    const LayerRead read = read_layer(importing, {.what = "objects",
                                                  .file = layer.file,
                                                  .layer = layer.layer,
                                                  .filter = layer.filter,
                                                  .osm_filter = "barrier IN ('wall', 'fence')",
                                                  .where = layer.where});
    const auto kind_field = layer.kind.empty()
                                ? std::optional(named_field(read.table, "kind", layer.where))
                                : std::nullopt;
    for (const Feature& feature : read.table.features) {
      const std::string word = kind_field ? text_of(feature, kind_field) : layer.kind;
      const auto kind = object_kind(word);
      if (!kind) {
        drop(
            importing, read, feature, "kind_unknown",
            "kind '" + word +
                "' is not one of car, van, truck, bus, sign, fence, wall, hoarding, kiosk, person");
        continue;
      }
      const ObjectSize& usual = sizes.at(word);
      const auto value = [&](const ValueOrField& setting, const char* name, bool is_length = true) {
        return object_value(importing, read.table, feature, setting, name, layer.where, is_length);
      };
      const auto height = value(layer.height_m, "height_m");
      const auto heading = value(layer.heading_deg, "heading_deg", false);
      ObjectRecord record{.id = feature_id(read.table, feature),
                          .kind = *kind,
                          .length_m = value(layer.length_m, "length_m").value_or(usual.length_m),
                          .width_m = value(layer.width_m, "width_m").value_or(usual.width_m),
                          .height_m = height.value_or(usual.height_m),
                          .base_m = usual.base_m,
                          .heading = Angle::degrees(heading.value_or(0.0)),
                          .material = usual.material,
                          .source = feature.source};
      LayerCount& count = importing.site.report.layers[read.count];
      if (const auto* lines = std::get_if<LineSet>(&feature.geometry)) {
        for (const CoordinateList& line : lines->lines) {
          std::vector<Xy> places;
          for (const Coordinate& c : line) places.push_back({c.x, c.y});
          record.lines.push_back(std::move(places));
        }
      } else if (const auto* shape = std::get_if<PolygonSet>(&feature.geometry)) {
        std::string reason;
        const auto sound = repaired(*shape, reason);
        if (!sound) {
          drop(importing, read, feature, "no_area", "encloses no area (" + reason + ")");
          continue;
        }
        record.polygons = map_polygons(*sound);
        count.repaired += reason.empty() ? 0U : 1U;
      }
      count.defaulted += height ? 0U : 1U;
      ++count.used;
      for (const Coordinate& c : points_of(feature)) {
        record.place = Xy{c.x, c.y};
        importing.site.objects.push_back(record);
      }
      if (!record.place) importing.site.objects.push_back(record);
    }
  }
}

}  // namespace sim
