#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "sim/base/quantile.h"
#include "sim/gis/csv_file.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

constexpr double margin_m =
    100.0;  // things just beyond the radius still stand behind the last point

Xy middle(const LonLatBounds& b) {
  return {0.5 * (b.west_deg + b.east_deg), 0.5 * (b.south_deg + b.north_deg)};
}

/// The middle row of a survey in degrees; rows without a fix do not pull it away.
std::optional<Xy> middle_of_survey(const SurveySettings& survey) {
  const std::string extension = std::filesystem::path(survey.file).extension();
  if (extension != ".csv" && extension != ".CSV" && extension != ".txt") {
    const auto bounds =
        lonlat_bounds({.path = survey.file, .layer = "", .where = "", .assume = {}});
    return bounds ? std::optional(middle(*bounds)) : std::nullopt;
  }
  const CsvTable table = read_csv(survey.file);
  const auto column = [&](const std::string& ours, std::initializer_list<const char*> theirs) {
    const auto mapped = survey.columns.find(ours);
    auto found = table.column(mapped == survey.columns.end() ? ours : mapped->second);
    for (const char* name : theirs) found = found ? found : table.column(name);
    return found;
  };
  const auto lon = column("lon", {"longitude", "lng", "long"}), lat = column("lat", {"latitude"});
  if (!lon || !lat) return std::nullopt;
  std::vector<double> lons, lats;
  for (const auto& row : table.rows) {
    const double x = std::strtod(row[*lon].c_str(), nullptr);
    const double y = std::strtod(row[*lat].c_str(), nullptr);
    if (!(std::abs(x) <= 180.0 && std::abs(y) <= 180.0) || (x == 0.0 && y == 0.0)) continue;
    lons.push_back(x);
    lats.push_back(y);
  }
  if (lons.empty()) return std::nullopt;
  return Xy{quantile(lons, 0.5), quantile(lats, 0.5)};
}

/// Some place of the site in degrees, from what states one most surely.
std::optional<Xy> some_place(const Site& site) {
  if (site.bounds) {
    const Bounds& b = *site.bounds;
    return Xy{0.5 * (b.west_deg + b.east_deg), 0.5 * (b.south_deg + b.north_deg)};
  }
  for (const NodeSettings& node : site.nodes.inline_nodes) {
    if (node.lon && node.lat) return Xy{*node.lon, *node.lat};
  }
  const auto file_middle = [](const std::string& file, const std::string& layer,
                              const std::string& filter) -> std::optional<Xy> {
    const auto bounds =
        lonlat_bounds({.path = file, .layer = layer, .where = filter, .assume = {}});
    return bounds ? std::optional(middle(*bounds)) : std::nullopt;
  };
  if (!site.nodes.file.empty()) {
    if (const auto place = file_middle(site.nodes.file, "", "")) return place;
  }
  for (const BuildingLayer& layer : site.buildings) {
    if (const auto place = file_middle(layer.file, layer.layer, layer.filter)) return place;
  }
  if (!site.ground.file.empty()) {
    return middle(raster_lonlat_bounds({.path = site.ground.file, .band = site.ground.band}));
  }
  for (const SurveySettings& survey : site.surveys) {
    if (const auto place = middle_of_survey(survey)) return place;
  }
  return std::nullopt;
}

}  // namespace

Crs choose_crs(const Site& site) {
  const SourceRef where{site.file, "[site]", -1};
  if (site.crs != "auto") {
    Crs crs = Crs::parse(site.crs, where);
    if (!crs.is_projected() || std::abs(crs.metres_per_unit() - 1.0) > 1e-9) {
      throw InputError(where, "crs = \"" + site.crs +
                                  "\" is not a map in metres; name a projected CRS in metres, or "
                                  "\"auto\" for the UTM zone of the site");
    }
    return crs;
  }
  for (const NodeSettings& node : site.nodes.inline_nodes) {
    if (node.x_m) {
      throw InputError(node.where,
                       "node '" + node.id +
                           "' has x_m and y_m, but the site names no CRS; write [site] crs "
                           "= \"EPSG:...\" or give lon and lat");
    }
  }
  const auto place = some_place(site);
  if (!place || std::abs(place->y) > 84.0 || std::abs(place->x) > 180.0) {
    // UTM is defined between 80 S and 84 N.
    if (place && std::abs(place->x) <= 84.0 && std::abs(place->y) > 90.0) {
      throw InputError(where, "the site lies at longitude " + std::to_string(place->x) +
                                  ", latitude " + std::to_string(place->y) +
                                  "; latitude and longitude look swapped");
    }
    throw InputError(where,
                     "no UTM zone can be chosen for the site; write [site] crs = \"EPSG:...\"");
  }
  return Crs::utm_for(place->x, place->y);
}

MapBounds area_of(const Site& site, const Crs& crs, const std::vector<NodeRecord>& nodes) {
  MapBounds area{1e300, 1e300, -1e300, -1e300};
  const auto add = [&](Xy p, double reach) {
    area = {std::min(area.west, p.x - reach), std::min(area.south, p.y - reach),
            std::max(area.east, p.x + reach), std::max(area.north, p.y + reach)};
  };
  const CrsTransform to_map(Crs::wgs84(), crs);
  if (site.bounds) {
    const Bounds& b = *site.bounds;
    for (const Xy corner : {Xy{b.west_deg, b.south_deg}, Xy{b.west_deg, b.north_deg},
                            Xy{b.east_deg, b.south_deg}, Xy{b.east_deg, b.north_deg}}) {
      const auto p = to_map(corner);
      if (!p) {
        throw InputError({site.file, "[site]", -1},
                         "bounds lie outside the area of " + crs.name() +
                             "; write [west, south, east, north] in degrees");
      }
      add(*p, 0.0);
    }
    return area;
  }
  for (const NodeRecord& node : nodes) add(node.place, site.predict.radius_m + margin_m);
  if (nodes.empty()) {
    const auto place = some_place(site);
    const auto p = place ? to_map(*place) : std::nullopt;
    if (p) add(*p, 2000.0 + margin_m);
  }
  return area;
}

}  // namespace sim
