#include "sim/scene/scene_builder.h"

#include <cmath>

#include "sim/scene/standing.h"

namespace sim {
namespace {

/// Beyond this the ray kernel's float coordinates are coarser than a millimetre.
constexpr double widest_m = 16'000.0;

void stand_streets(Standing& standing) {
  for (const StreetRecord& record : standing.imported.streets) {
    Street street{.id = record.id, .name = record.name, .line = {}, .source = record.source};
    for (const Xy place : record.line) {
      const FlatPoint p = standing.flat(place);
      const double ground = standing.ground_at(p);
      street.line.push_back({p.x_m, p.y_m, std::isnan(ground) ? 0.0 : ground});
    }
    standing.scene.streets.push_back(std::move(street));
  }
}

double effective_earth_radius_m(const ImportedSite& imported) {
  const double factor = imported.defaults("effective_earth_factor");
  if (!(factor > 0.0)) {
    throw InputError({imported.site.file, "", -1},
                     "effective_earth_factor must be above 0; 1.3333 is a standard atmosphere");
  }
  return 1000.0 * factor * imported.defaults("earth_radius_km");
}

}  // namespace

Scene build_scene(const ImportedSite& imported, ImportReport& report) {
  const double reach = std::max(imported.area_east_m - imported.middle.x_m,
                                imported.area_north_m - imported.middle.y_m);
  if (reach > widest_m) {
    throw InputError(
        {imported.site.file, "", -1},
        "the site is wider than 16 km from its middle; give [site] bounds, or one site "
        "file per district");
  }
  Scene scene;
  scene.frame = {.crs_wkt = imported.crs.wkt(),
                 .vertical_datum = imported.vertical_datum,
                 .origin = imported.middle,
                 .convergence = imported.convergence,
                 .convergence_east_per_m = imported.convergence_east_per_m,
                 .convergence_north_per_m = imported.convergence_north_per_m,
                 .effective_earth_radius_m = effective_earth_radius_m(imported)};
  scene.conditions = {.leaf_on = imported.site.leaf_on,
                      .rain_mm_per_h = imported.site.rain_mm_per_h,
                      .receiver_height_agl_m = imported.site.receiver.height_agl_m,
                      .receiver_context = imported.site.receiver.context,
                      .facing = imported.site.receiver.facing,
                      .housing = imported.site.receiver.housing,
                      .defaults = imported.defaults};
  for (const MaterialRecord& m : imported.materials) {
    scene.materials.push_back({.name = m.name,
                               .a = m.a,
                               .b = m.b,
                               .c = m.c,
                               .d = m.d,
                               .min_ghz = m.min_ghz,
                               .max_ghz = m.max_ghz,
                               .source = m.source});
  }
  Standing standing(imported, scene, report);
  stand_ground(standing);
  stand_buildings(standing);
  stand_poles(standing);
  stand_trees(standing);
  stand_canopies(standing);
  stand_objects(standing);
  stand_meshes(standing);
  stand_point_clouds(standing);
  stand_streets(standing);
  stand_nodes(standing);
  return scene;
}

}  // namespace sim
