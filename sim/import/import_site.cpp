#include <array>
#include <cmath>

#include "sim/import/asset_tables.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

/// What the site file states itself takes the place of the program's default.
void override_defaults(const Site& site, Defaults& defaults) {
  const auto set = [&](const std::string& name, double value) {
    defaults.set({.name = name, .value = value, .source = "site file"});
  };
  if (site.receiver.gain_dbi) set("receiver_gain_dbi", *site.receiver.gain_dbi);
  if (site.receiver.noise_figure_db)
    set("receiver_noise_figure_db", *site.receiver.noise_figure_db);
  if (site.temperature_c) set("temperature_k", *site.temperature_c + 273.15);
  if (site.pressure_hpa) set("pressure_hpa", *site.pressure_hpa);
  if (site.water_vapour_g_m3) set("water_vapour_g_m3", *site.water_vapour_g_m3);
  if (site.predict.confidence) set("confidence", *site.predict.confidence);
  if (site.predict.reflections > 0) set("reflections", site.predict.reflections);
  for (const auto& [name, value] : site.predict.thresholds) set(name, value);
}

void measure_convergence(ImportedSite& imported, Xy middle) {
  constexpr double reach_m = 1000.0;
  const auto at = [&](double east_m, double north_m) {
    return grid_convergence(imported.crs, {middle.x + east_m, middle.y + north_m}).radians();
  };
  imported.convergence = Angle::radians(at(0.0, 0.0));
  imported.convergence_east_per_m = (at(reach_m, 0.0) - at(-reach_m, 0.0)) / (2.0 * reach_m);
  imported.convergence_north_per_m = (at(0.0, reach_m) - at(0.0, -reach_m)) / (2.0 * reach_m);
}

void import_meshes(Importing& importing) {
  const CrsTransform to_map(Crs::wgs84(), importing.site.crs);
  for (const MeshFile& mesh : importing.site.site.meshes) {
    const auto place = mesh.lon ? to_map({*mesh.lon, *mesh.lat}) : Xy{*mesh.x_m, *mesh.y_m};
    if (!place) throw InputError(mesh.where, "mesh " + mesh.file + " lies outside the site's CRS");
    importing.site.meshes.push_back({.path = mesh.file,
                                     .place = *place,
                                     .elevation_m = mesh.elevation_m,
                                     .heading = Angle::degrees(mesh.heading_deg),
                                     .material = mesh.material.empty() ? "metal" : mesh.material,
                                     .source = {mesh.file, "", -1}});
  }
  for (const PointCloudFile& cloud : importing.site.site.point_clouds) {
    PointCloudRecord record{.path = cloud.file,
                            .offset = {cloud.offset_x_m, cloud.offset_y_m, cloud.offset_z_m},
                            .crs = std::nullopt,
                            .voxel_m = cloud.voxel_m,
                            .source = {cloud.file, "", -1}};
    if (!cloud.crs.empty()) {
      const Crs own = Crs::parse(cloud.crs, cloud.where);
      if (!own.same_as(importing.site.crs)) {
        throw InputError(cloud.where,
                         "crs of the point cloud must be the site's own; write [site] crs "
                         "= \"" +
                             cloud.crs + "\"");
      }
    }
    importing.site.point_clouds.push_back(record);
  }
}

/// Mean of the ground in the area, or its flat elevation.
double mean_ground_m(const ImportedSite& site) {
  if (site.ground.empty()) return site.site.ground.elevation_m;
  double sum = 0.0;
  std::size_t count = 0;
  for (const float value : site.ground.values) {
    if (std::isnan(value)) continue;
    sum += static_cast<double>(value);
    ++count;
  }
  return count == 0 ? 0.0 : std::round(sum / static_cast<double>(count));
}

}  // namespace

std::string_view to_string(Severity severity) {
  constexpr std::array<std::string_view, 4> words{"noted", "defaulted", "repaired", "dropped"};
  return words[static_cast<std::size_t>(severity)];
}

std::string_view to_string(HeightSource source) {
  constexpr std::array<std::string_view, 5> words{"tagged", "levels", "surface", "neighbours",
                                                  "default"};
  return words[static_cast<std::size_t>(source)];
}

std::string_view to_string(ObjectKind kind) {
  constexpr std::array<std::string_view, 10> words{"car",   "van",  "truck",    "bus",   "sign",
                                                   "fence", "wall", "hoarding", "kiosk", "person"};
  return words[static_cast<std::size_t>(kind)];
}

ImportedSite import_site(const Site& site, bool strict) {
  ImportedSite imported;
  imported.site = site;
  imported.materials = read_materials();
  imported.defaults = read_defaults();
  override_defaults(site, imported.defaults);
  imported.crs = choose_crs(site);
  imported.nodes = import_nodes(site, imported.crs, imported.defaults, imported.report);
  imported.vertical_datum = "not stated";
  Importing importing{.site = imported,
                      .area = area_of(site, imported.crs, imported.nodes),
                      .strict = strict,
                      .surface = {},
                      .canopy = {},
                      .surface_source = {}};
  import_ground(importing);
  import_surface(importing);
  const Xy middle{std::round(0.5 * (importing.area.west + importing.area.east)),
                  std::round(0.5 * (importing.area.south + importing.area.north))};
  imported.middle = {middle.x, middle.y, mean_ground_m(imported)};
  imported.area_west_m = importing.area.west;
  imported.area_south_m = importing.area.south;
  imported.area_east_m = importing.area.east;
  imported.area_north_m = importing.area.north;
  measure_convergence(imported, middle);
  import_buildings(importing);
  import_poles(importing);
  import_trees(importing);
  import_objects(importing);
  import_meshes(importing);
  import_streets(importing);
  import_canopy(importing);
  leave_out(importing);
  return imported;
}

}  // namespace sim
