#include "sim/import/walking_map.h"

#include "sim/gis/vector_file.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

bool is_osm(const std::string& path) { return path.ends_with(".osm") || path.ends_with(".pbf"); }

class Reading {
 public:
  explicit Reading(const ImportedSite& site) : site_(site) {}

  void avoid(const PlanLayer& layer, const std::string& what) {
    for (const Feature& feature : features_of(layer).features) {
      std::vector<MapPolygon> polygons = areas_of(feature);
      if (!polygons.empty() && near(polygons.front().shell.front())) {
        map.avoid.push_back({what, std::move(polygons)});
      }
    }
  }

  void parking(const PlanLayer& layer) {
    const VectorTable table = features_of(layer);
    for (const Feature& feature : table.features) {
      const ParkingPlace named{.id = feature_id(table, feature), .polygons = {}, .line = {}};
      const auto add = [&](std::vector<Xy> line) {
        if (line.empty() || !near(line.front())) return;
        ParkingPlace place = named;
        place.line = std::move(line);
        map.parking.push_back(std::move(place));
      };
      if (const auto* points = std::get_if<PointSet>(&feature.geometry)) {
        for (const Coordinate& c : points->points) add({{c.x, c.y}});
      } else if (const auto* lines = std::get_if<LineSet>(&feature.geometry)) {
        for (const CoordinateList& line : lines->lines) {
          std::vector<Xy> places;
          for (const Coordinate& c : line) places.push_back({c.x, c.y});
          add(std::move(places));
        }
      } else if (auto polygons = areas_of(feature);
                 !polygons.empty() && near(polygons.front().shell.front())) {
        ParkingPlace place = named;
        place.polygons = std::move(polygons);
        map.parking.push_back(std::move(place));
      }
    }
  }

  void addresses(const PlanLayer& layer, bool required) {
    const VectorTable table = features_of(layer);
    const auto first_of = [&](std::initializer_list<const char*> names) {
      std::optional<std::size_t> found;
      for (const char* name : names) found = found ? found : table.field(name);
      return found;
    };
    const auto whole = table.field("address");
    const auto number = first_of({"addr:housenumber", "addr_housenumber", "housenumber"});
    const auto street = first_of({"addr:street", "addr_street", "street"});
    if (required && !whole && !number) {
      throw InputError({layer.file, "", -1},
                       "holds no addresses: it needs a field address, or addr:housenumber and "
                       "addr:street");
    }
    for (const Feature& feature : table.features) {
      const auto place = middle_of(feature);
      std::string text = whole ? text_of(feature, whole) : text_of(feature, number);
      if (!whole && street && !text.empty()) text += " " + text_of(feature, street);
      if (place && !text.empty() && near(*place)) map.addresses.push_back({text, *place});
    }
  }

  WalkingMap map;

 private:
  VectorTable features_of(const PlanLayer& layer) const {
    return read_vectors({.path = layer.file,
                         .layer = layer.layer,
                         .where = layer.filter,
                         .assume = {},
                         .max_features = static_cast<std::size_t>(site_.site.max_features)},
                        site_.crs);
  }
  bool near(Xy p) const {
    return p.x >= site_.area_west_m && p.x <= site_.area_east_m && p.y >= site_.area_south_m &&
           p.y <= site_.area_north_m;
  }
  static std::vector<MapPolygon> areas_of(const Feature& feature) {
    const auto* shape = std::get_if<PolygonSet>(&feature.geometry);
    if (shape == nullptr) return {};
    std::string reason;
    const auto sound = repaired(*shape, reason);
    return sound ? map_polygons(*sound) : std::vector<MapPolygon>{};
  }
  /// Of an outline the mean of its corners: near enough to say "outside number 12".
  static std::optional<Xy> middle_of(const Feature& feature) {
    if (const auto* points = std::get_if<PointSet>(&feature.geometry);
        points != nullptr && !points->points.empty()) {
      return Xy{points->points[0].x, points->points[0].y};
    }
    const std::vector<MapPolygon> polygons = areas_of(feature);
    if (polygons.empty()) return std::nullopt;
    Xy sum;
    const MapRing& ring = polygons.front().shell;
    for (const Xy p : ring) sum = {sum.x + p.x, sum.y + p.y};
    const auto corners = static_cast<double>(ring.size());
    return Xy{sum.x / corners, sum.y / corners};
  }

  const ImportedSite& site_;
};

}  // namespace

WalkingMap read_walking_map(const ImportedSite& imported) {
  const Site& site = imported.site;
  Reading reading(imported);
  for (const PlanLayer& layer : site.plan.avoid) reading.avoid(layer, layer.file);
  for (const PlanLayer& layer : site.plan.parking) reading.parking(layer);
  if (!site.plan.addresses.empty()) {
    reading.addresses({.file = site.plan.addresses, .layer = {}, .filter = {}, .where = {}}, true);
  }
  if (site.streets && is_osm(site.streets->file)) {
    const auto layer = [&](const char* filter) {
      return PlanLayer{.file = site.streets->file, .layer = {}, .filter = filter, .where = {}};
    };
    reading.avoid(layer("natural = 'water' OR landuse IN ('reservoir', 'basin', 'railway')"),
                  "water or rails");
    reading.parking(layer("amenity IN ('parking', 'parking_space')"));
    if (site.plan.addresses.empty())
      reading.addresses(layer("addr_housenumber IS NOT NULL"), false);
  }
  return reading.map;
}

}  // namespace sim
