#include "sim/link/obstruction.h"

#include <algorithm>

#include "sim/link/screens.h"
#include "sim/link/wide_obstruction.h"

namespace sim {
namespace {

constexpr double clear_zone_radii = 0.6;  // P.526: 60 % of the first zone free is free enough

/// Whether the silhouette is wider than the first Fresnel zone, both ways.
bool wider_than_zone(const PathProfile& path, const Crossing& c, double wavelength_m) {
  const Outline& o = c.outline;
  const double zone =
      2.0 * fresnel_radius_m(wavelength_m, o.above_at_m, path.length_m - o.above_at_m);
  return std::min(o.left_m + o.right_m, o.above_m + o.below_m) > zone;
}

}  // namespace

Sight sight_of(const Scene& scene, const PathProfile& path, double wavelength_m) {
  bool disturbed = false;
  for (const Crossing& c : path.crossings) {
    const ObstacleKind kind = scene.obstacles[c.obstacle].kind;
    disturbed = true;
    if (is_foliage(kind)) continue;
    if (is_wide(kind) || wider_than_zone(path, c, wavelength_m)) return Sight::nlos;
  }
  disturbed = disturbed || path.clearance.fresnel_radii < clear_zone_radii;
  return disturbed ? Sight::olos : Sight::los;
}

void add_obstruction_terms(const PathSight& sight, std::vector<LossTerm>& terms) {
  add_wide_terms(sight, terms);
  add_screens(sight, terms);
}

}  // namespace sim
