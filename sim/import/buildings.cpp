#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "sim/import/height_text.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

constexpr double level_m = 3.0;             // contract section 4; common practice, no source
constexpr double least_area_m2 = 0.5;       // smaller footprints are slivers of digitising
constexpr double parts_cover_share = 0.75;  // parts that cover more than this replace the outline

struct Columns {
  std::optional<std::size_t> height, levels, roof_levels, base, min_height, min_level, part,
      building, material;
};

Columns columns_of(const VectorTable& table, const BuildingLayer& layer) {
  return {
      .height = field_or(table, layer.height_field,
                         {"height", "height_m", "measuredHeight", "building_height"}, layer.where),
      .levels = field_or(table, layer.levels_field,
                         {"building_levels", "building:levels", "levels", "storeys"}, layer.where),
      .roof_levels = field_or(table, "", {"roof_levels", "roof:levels"}, layer.where),
      .base = field_or(table, layer.base_field, {}, layer.where),
      .min_height = field_or(table, "", {"min_height"}, layer.where),
      .min_level = field_or(table, "", {"building_min_level", "building:min_level"}, layer.where),
      .part = field_or(table, "", {"building_part", "building:part"}, layer.where),
      .building = field_or(table, "", {"building"}, layer.where),
      .material = field_or(table, "", {"building_material", "building:material"}, layer.where),
  };
}

/// Material of the layer, else the record's own where it is one we know, else concrete.
std::string material_of(const BuildingLayer& layer, const std::string& tag,
                        const std::vector<MaterialRecord>& materials) {
  if (!layer.material.empty()) return layer.material;
  for (const MaterialRecord& material : materials) {
    if (material.name == tag) return tag;
  }
  return "concrete";
}

struct Footprint {
  BuildingRecord record;
  bool is_part = false;
};

class LayerImport {
 public:
  LayerImport(Importing& importing, const BuildingLayer& layer)
      : importing_(importing), layer_(layer) {}

  std::vector<Footprint> run() {
    read_ =
        read_layer(importing_, {.what = "buildings",
                                .file = layer_.file,
                                .layer = layer_.layer,
                                .filter = layer_.filter,
                                .osm_filter = "building IS NOT NULL OR building_part IS NOT NULL",
                                .where = layer_.where});
    columns_ = columns_of(read_.table, layer_);
    std::vector<Footprint> footprints;
    for (const Feature& feature : read_.table.features) {
      if (auto footprint = one(feature)) footprints.push_back(std::move(*footprint));
    }
    drop_covered_outlines(footprints);
    count().used += footprints.size();
    return footprints;
  }

 private:
  LayerCount& count() { return importing_.site.report.layers[read_.count]; }

  void drop(const Feature& feature, const std::string& code, const std::string& why) {
    ++count().dropped;
    importing_.note(Severity::dropped, feature.source, code, why);
  }

  /// The polygons of a feature. A ring that an extract has cut open comes as a line; it is closed
  /// straight.
  std::optional<PolygonSet> area_of(const Feature& feature) {
    if (const auto* shape = std::get_if<PolygonSet>(&feature.geometry)) return *shape;
    const auto* lines = std::get_if<LineSet>(&feature.geometry);
    if (lines == nullptr || lines->lines.size() != 1 || lines->lines.front().size() < 4) {
      return std::nullopt;
    }
    CoordinateList ring = lines->lines.front();
    ring.push_back(ring.front());
    ++count().repaired;
    importing_.note(Severity::repaired, feature.source, "ring_closed",
                    "ring did not close (cut by the extract?) and was closed straight");
    return PolygonSet{{PolygonShape{{std::move(ring)}}}};
  }

  std::optional<Footprint> one(const Feature& feature) {
    const std::optional<PolygonSet> shape = area_of(feature);
    if (!shape) {
      // Doors, steps and roof edges carry heights in OpenStreetMap; only areas are buildings.
      drop(feature, "not_a_polygon", "is no polygon, so no building");
      return std::nullopt;
    }
    std::string reason;
    const auto sound = repaired(*shape, reason);
    if (!reason.empty() && sound) {
      ++count().repaired;
      importing_.note(Severity::repaired, feature.source, "ring_repaired",
                      "footprint was not valid (" + reason + ") and was repaired");
    }
    Footprint footprint;
    BuildingRecord& record = footprint.record;
    if (sound) record.polygons = map_polygons(*sound);
    double area = 0.0;
    for (const MapPolygon& polygon : record.polygons) area += area_m2(polygon.shell);
    if (area < least_area_m2) {
      drop(feature, "no_area",
           "footprint encloses no area" + (reason.empty() ? "" : " (" + reason + ")"));
      return std::nullopt;
    }
    record.id = feature_id(read_.table, feature);
    record.source = feature.source;
    record.material =
        material_of(layer_, text_of(feature, columns_.material), importing_.site.materials);
    footprint.is_part = !text_of(feature, columns_.part).empty() &&
                        text_of(feature, columns_.part) != "no" &&
                        text_of(feature, columns_.building).empty();
    read_heights(feature, record);
    return footprint;
  }

  void read_heights(const Feature& feature, BuildingRecord& record) {
    record.height_m = std::numeric_limits<double>::quiet_NaN();
    const auto floors = [&](std::optional<std::size_t> column) -> std::optional<double> {
      const std::string text = text_of(feature, column);
      const auto value = text.empty() ? std::nullopt : length_from_text(text);
      if (!text.empty() && (!value || *value < 0.0 || *value > 200.0)) {
        importing_.note(Severity::defaulted, feature.source, "levels_unreadable",
                        "levels '" + text + "' is no number of floors; it was left out");
        return std::nullopt;
      }
      return value;
    };
    if (const auto height = length_of(importing_, feature, columns_.height, "height")) {
      record.height_m = *height;
      record.height_source = HeightSource::tagged;
    } else if (const auto levels = floors(columns_.levels); levels && *levels > 0.0) {
      record.height_m = level_m * (*levels + floors(columns_.roof_levels).value_or(0.0));
      record.height_source = HeightSource::levels;
    }
    if (const auto open = length_of(importing_, feature, columns_.min_height, "min_height")) {
      record.min_height_m = *open;
    } else if (const auto level = floors(columns_.min_level)) {
      record.min_height_m = level_m * *level;
    }
    if (record.min_height_m > 0.0 && record.min_height_m >= record.height_m) {
      importing_.note(Severity::defaulted, feature.source, "min_height_above_roof",
                      "min_height is not below the roof; the space below was closed");
      record.min_height_m = 0.0;
    }
    const std::string base = text_of(feature, columns_.base);
    if (!base.empty()) {
      record.base_elevation_m = length_from_text(base);
      if (!record.base_elevation_m) {
        importing_.note(Severity::defaulted, feature.source, "base_unreadable",
                        "base '" + base + "' is no elevation; the ground was used");
      }
    }
  }

  /// An outline whose parts cover most of it is described by them; drawing both would count twice.
  void drop_covered_outlines(std::vector<Footprint>& footprints) {
    std::vector<const Footprint*> parts;
    for (const Footprint& f : footprints) {
      if (f.is_part) parts.push_back(&f);
    }
    if (parts.empty()) return;
    const auto covered = [&](const Footprint& outline) {
      if (outline.is_part) return false;
      const MapBounds box = bounds_of(outline.record.polygons);
      double outline_area = 0.0, parts_area = 0.0;
      for (const MapPolygon& p : outline.record.polygons) outline_area += area_m2(p.shell);
      for (const Footprint* part : parts) {
        const MapPolygon& first = part->record.polygons.front();
        Xy middle{0.0, 0.0};
        for (const Xy p : first.shell) {
          middle.x += p.x / static_cast<double>(first.shell.size());
          middle.y += p.y / static_cast<double>(first.shell.size());
        }
        if (middle.x < box.west || middle.x > box.east || middle.y < box.south ||
            middle.y > box.north || !contains(outline.record.polygons, middle)) {
          continue;
        }
        for (const MapPolygon& p : part->record.polygons) parts_area += area_m2(p.shell);
      }
      return parts_area > parts_cover_share * outline_area;
    };
    std::vector<Footprint> kept;
    for (Footprint& footprint : footprints) {
      if (covered(footprint)) {
        ++count().dropped;
        importing_.site.report.issues.push_back(
            {Severity::noted, footprint.record.source, "outline_replaced_by_parts",
             "building parts cover more than three quarters of this outline and replace it"});
      } else {
        kept.push_back(footprint);
      }
    }
    footprints = std::move(kept);
  }

  Importing& importing_;
  const BuildingLayer& layer_;
  LayerRead read_;
  Columns columns_;
};

}  // namespace

void import_buildings(Importing& importing) {
  std::vector<BuildingRecord> all;
  std::vector<HeightFallback> fallbacks;
  for (const BuildingLayer& layer : importing.site.site.buildings) {
    const double height_m =
        layer.default_height_m.value_or(importing.site.defaults("building_height_m"));
    for (Footprint& footprint : LayerImport(importing, layer).run()) {
      all.push_back(std::move(footprint.record));
      fallbacks.push_back({height_m, importing.site.report.layers.size() - 1});
    }
  }
  complete_heights(importing, all, fallbacks);
  importing.site.buildings = std::move(all);
}

}  // namespace sim
