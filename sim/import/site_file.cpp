#include <filesystem>

#include "sim/import/plan_keys.h"
#include "sim/import/receiver_keys.h"
#include "sim/import/site.h"
#include "sim/import/site_words.h"
#include "sim/import/toml_section.h"

namespace sim {
namespace {

const Limits heights{0.05, 2000.0};
const Limits degrees_around{-360.0, 360.0};

/// The three keys by which most sections choose features.
template <class Layer>
void choose_features(TomlSection& section, Layer& layer, const std::string& folder) {
  layer.where = section.where();
  section.path("file", layer.file, folder);
  section.text("layer", layer.layer);
  section.text("where", layer.filter);
}

void read_site_section(TomlSection& s, Site& site) {
  s.text("name", site.name);
  s.text("crs", site.crs);
  std::vector<double> bounds;
  s.numbers("bounds", bounds, 4);
  if (!bounds.empty()) {
    site.bounds = Bounds{bounds[0], bounds[1], bounds[2], bounds[3]};
    if (!(bounds[0] < bounds[2] && bounds[1] < bounds[3] && bounds[1] >= -90 && bounds[3] <= 90)) {
      s.refuse("bounds", "must be [west, south, east, north] in degrees, west < east");
    }
  }
  std::string time = "leaf-on";
  s.word("time", time, {"leaf-on", "leaf-off"});
  site.leaf_on = time == "leaf-on";
  s.number("rain_mm_per_h", site.rain_mm_per_h, {0.0, 300.0});
  s.number("temperature_c", site.temperature_c, {-60.0, 60.0});
  s.number("pressure_hpa", site.pressure_hpa, {400.0, 1100.0});
  s.number("water_vapour_g_m3", site.water_vapour_g_m3, {0.0, 50.0});
  s.integer("max_features", site.max_features, {1.0, 1e9});
  s.texts("credits", site.credits);
  s.texts("leave_out", site.leave_out);
}

void read_ground(TomlSection& s, Site& site) {
  site.ground.where = s.where();
  s.path("file", site.ground.file, site.folder, false);
  s.integer("band", site.ground.band, {1, 1000});
  s.number("elevation_m", site.ground.elevation_m, {-500.0, 9000.0});
}

void read_surface(TomlSection& s, Site& site) {
  SurfaceSettings surface;
  surface.where = s.where();
  s.path("file", surface.file, site.folder);
  s.integer("band", surface.band, {1, 1000});
  s.path("canopy_file", surface.canopy_file, site.folder, false);
  site.surface = surface;
}

void read_buildings(TomlSection& s, Site& site) {
  BuildingLayer layer;
  choose_features(s, layer, site.folder);
  s.text("height_field", layer.height_field);
  s.text("levels_field", layer.levels_field);
  s.text("base_field", layer.base_field);
  s.number("default_height_m", layer.default_height_m, heights);
  s.word("material", layer.material, material_words());
  site.buildings.push_back(layer);
}

void read_poles(TomlSection& s, Site& site) {
  PoleLayer layer;
  choose_features(s, layer, site.folder);
  s.text("height_field", layer.height_field);
  s.text("diameter_field", layer.diameter_field);
  s.number("default_height_m", layer.default_height_m, heights);
  s.number("default_diameter_m", layer.default_diameter_m, {0.01, 5.0});
  site.poles.push_back(layer);
}

void read_trees(TomlSection& s, Site& site) {
  TreeLayer layer;
  choose_features(s, layer, site.folder);
  s.text("height_field", layer.height_field);
  s.text("crown_diameter_field", layer.crown_diameter_field);
  s.text("species_field", layer.species_field);
  s.number("default_height_m", layer.default_height_m, heights);
  s.number("default_crown_diameter_m", layer.default_crown_diameter_m, {0.2, 60.0});
  s.word("species_class", layer.species_class, species_words());
  site.trees.push_back(layer);
}

void read_objects(TomlSection& s, Site& site) {
  ObjectLayer layer;
  choose_features(s, layer, site.folder);
  s.word("kind", layer.kind, object_words());
  s.value_or_field("length_m", layer.length_m, {0.05, 100.0});
  s.value_or_field("width_m", layer.width_m, {0.01, 100.0});
  s.value_or_field("height_m", layer.height_m, heights);
  s.value_or_field("heading_deg", layer.heading_deg, degrees_around);
  site.objects.push_back(layer);
}

void read_meshes(TomlSection& s, Site& site) {
  MeshFile mesh;
  mesh.where = s.where();
  s.path("file", mesh.file, site.folder);
  s.number("lon", mesh.lon, {-180.0, 180.0});
  s.number("lat", mesh.lat, {-90.0, 90.0});
  s.number("x_m", mesh.x_m);
  s.number("y_m", mesh.y_m);
  s.number("elevation_m", mesh.elevation_m, {-500.0, 9000.0});
  s.number("heading_deg", mesh.heading_deg, degrees_around);
  s.word("material", mesh.material, material_words());
  const bool lonlat = mesh.lon && mesh.lat, map = mesh.x_m && mesh.y_m;
  if (lonlat == map) s.refuse("file", "needs a position: lon and lat, or x_m and y_m");
  site.meshes.push_back(mesh);
}

void read_point_clouds(TomlSection& s, Site& site) {
  PointCloudFile cloud;
  cloud.where = s.where();
  s.path("file", cloud.file, site.folder);
  s.number("offset_x_m", cloud.offset_x_m);
  s.number("offset_y_m", cloud.offset_y_m);
  s.number("offset_z_m", cloud.offset_z_m);
  s.text("crs", cloud.crs);
  s.number("voxel_m", cloud.voxel_m, {0.1, 5.0});
  site.point_clouds.push_back(cloud);
}

void read_streets(TomlSection& s, Site& site) {
  StreetSettings streets;
  choose_features(s, streets, site.folder);
  s.text("name_field", streets.name_field);
  site.streets = streets;
}

SectorSettings read_sector(TomlSection& s, const std::string& folder) {
  SectorSettings sector;
  sector.where = s.where();
  s.text("sector", sector.sector);
  s.number("azimuth_deg", sector.azimuth_deg, degrees_around);
  s.number("downtilt_deg", sector.downtilt_deg, {-90.0, 90.0});
  s.number("frequency_ghz", sector.frequency_ghz, {0.5, 100.0});
  s.number("bandwidth_mhz", sector.bandwidth_mhz, {1.0, 2000.0});
  s.integer("carriers", sector.carriers, {1, 16});
  s.number("eirp_dbm", sector.eirp_dbm, {-30.0, 100.0});
  s.text("pattern", sector.pattern);
  if (sector.pattern.ends_with(".csv")) {
    s.path("pattern", sector.pattern, folder);
  } else {
    s.word("pattern", sector.pattern, pattern_words());
  }
  s.word("polarization", sector.polarization, polarization_words());
  s.integer("rows", sector.rows, {1, 64});
  s.integer("cols", sector.cols, {1, 64});
  if ((s.has("rows") || s.has("cols")) && sector.pattern != "3gpp-array") {
    s.refuse(s.has("rows") ? "rows" : "cols",
             "counts the elements of pattern = \"3gpp-array\"; this sector's pattern is \"" +
                 sector.pattern + "\"");
  }
  s.number("broadcast_gain_db", sector.broadcast_gain_db, {-40.0, 0.0});
  return sector;
}

void read_node(TomlSection& s, Site& site) {
  NodeSettings node;
  node.where = s.where();
  s.text("id", node.id);
  s.number("lon", node.lon);
  s.number("lat", node.lat);
  s.number("x_m", node.x_m);
  s.number("y_m", node.y_m);
  s.number("height_agl_m", node.height_agl_m, {0.5, 500.0});
  s.sections("sector", [&](TomlSection& sector) {
    node.sectors.push_back(read_sector(sector, site.folder));
  });
  if (node.id.empty()) node.id = "n" + std::to_string(site.nodes.inline_nodes.size() + 1);
  if ((node.lon && node.lat) == (node.x_m && node.y_m)) {
    s.refuse("id", "'" + node.id + "' needs a position: lon and lat, or x_m and y_m");
  }
  if (node.sectors.empty()) s.refuse("id", "'" + node.id + "' has no [[node.sector]]");
  for (std::size_t i = 0; i < node.sectors.size(); ++i) {
    if (node.sectors[i].sector.empty())
      node.sectors[i].sector = std::string(1, static_cast<char>('a' + i % 26));
    for (std::size_t j = 0; j < i; ++j) {
      if (node.sectors[j].sector == node.sectors[i].sector)
        s.refuse("id", "'" + node.id + "' has two sectors '" + node.sectors[i].sector + "'");
    }
  }
  for (const NodeSettings& other : site.nodes.inline_nodes) {
    if (other.id == node.id) s.refuse("id", "'" + node.id + "' is used twice");
  }
  site.nodes.inline_nodes.push_back(node);
}

void read_survey(TomlSection& s, Site& site) {
  SurveySettings survey;
  survey.where = s.where();
  s.path("file", survey.file, site.folder);
  s.texts_by_key("columns", survey.columns);
  std::string context;
  s.word("context", context, context_words());
  if (!context.empty()) survey.context = receiver_context_from(context);
  s.text("time_zone", survey.time_zone);
  s.text("node", survey.node);
  s.text("note", survey.note);
  s.text("place", survey.place);
  s.path("addresses", survey.addresses, site.folder, false);
  s.path("track", survey.track, site.folder, false);
  site.surveys.push_back(survey);
}

void read_predict(TomlSection& s, Site& site) {
  site.predict.where = s.where();
  s.number("spacing_m", site.predict.spacing_m, {0.1, 100.0});
  s.number("radius_m", site.predict.radius_m, {5.0, 5000.0});
  s.texts_by_key("models", site.predict.models);
  for (const auto& [role, model] : site.predict.models) {
    if (!is_model_choice(role, model)) {
      s.refuse("models", "has " + role + " = \"" + model + "\"; known are: " + model_choices());
    }
  }
  s.integer("reflections", site.predict.reflections, {0, 3});
  s.numbers_by_key("thresholds", site.predict.thresholds, threshold_words());
  s.number("confidence", site.predict.confidence, {0.5, 0.999});
}

void read_all(TomlSection& root, Site& site) {
  const auto each = [&](const char* key, void (*read)(TomlSection&, Site&)) {
    root.sections(key, [&site, read](TomlSection& section) { read(section, site); });
  };
  each("site", read_site_section);
  each("ground", read_ground);
  each("surface", read_surface);
  each("buildings", read_buildings);
  each("poles", read_poles);
  each("trees", read_trees);
  each("objects", read_objects);
  each("meshes", read_meshes);
  each("point_clouds", read_point_clouds);
  each("streets", read_streets);
  root.sections("nodes", [&](TomlSection& nodes) {
    site.nodes.where = nodes.where();
    nodes.path("file", site.nodes.file, site.folder, false);
    nodes.sections("node", [&](TomlSection& node) { read_node(node, site); });
  });
  each("node", read_node);
  root.sections("receiver", [&](TomlSection& section) { read_receiver(section, site.receiver); });
  each("survey", read_survey);
  each("predict", read_predict);
  root.sections("plan", [&](TomlSection& plan) { read_plan(plan, site.folder, site.plan); });
}

}  // namespace

Site read_site(const std::string& path) {
  namespace fs = std::filesystem;
  Site site;
  site.file = fs::is_directory(path) ? (fs::path(path) / "site.toml").string() : path;
  site.folder = fs::path(site.file).parent_path().string();
  if (!fs::exists(site.file)) {
    throw InputError({site.file, "", -1},
                     "no such file; name a site file, or a folder that holds site.toml");
  }
  read_toml(site.file, [&](TomlSection& root) { read_all(root, site); });
  if (site.name.empty()) site.name = fs::path(site.file).parent_path().filename().string();
  if (site.nodes.file.empty() && site.nodes.inline_nodes.empty() && site.surveys.empty()) {
    throw InputError({site.file, "", -1},
                     "names no node; add [nodes] file = \"...\" or a [[node]] with its sectors");
  }
  return site;
}

}  // namespace sim
