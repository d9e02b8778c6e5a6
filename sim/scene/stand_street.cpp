#include <algorithm>
#include <cmath>

#include "sim/scene/standing.h"

namespace sim {
namespace {

constexpr int pole_sides = 12;               // contract section 4
constexpr double bury_m = 0.3;               // feet reach below the triangulated ground
constexpr double wall_piece_m = 5.0;         // walls follow the ground in pieces of this length
constexpr double flat_wall_piece_m = 200.0;  // flat ground bends by less than a millimetre in this

bool off_ground(Standing& standing, FlatPoint p, const SourceRef& source, const char* what) {
  if (!std::isnan(standing.ground_at(p))) return false;
  standing.drop(source, "off_ground", std::string(what) + " stands outside the ground raster");
  return true;
}

std::string noun(ObjectKind kind) {
  return kind == ObjectKind::hoarding ? "hoarding" : std::string(to_string(kind));
}

}  // namespace

void stand_poles(Standing& standing) {
  for (const PoleRecord& record : standing.imported.poles) {
    const FlatPoint p = standing.flat(record.place);
    if (off_ground(standing, p, record.source, "pole")) continue;
    const double ground = standing.ground_at(p);
    const ObstacleId id =
        standing.open({.id = record.id,
                       .kind = ObstacleKind::pole,
                       .what = "pole",
                       .material = standing.material("metal"),
                       .base_m = ground,
                       .top_m = ground + record.height_m,
                       .source = record.source,
                       .species_class = {},
                       .height_source = record.height_defaulted ? "default" : "tagged",
                       .crown = {}});
    add_cylinder(standing.pen(id), p, 0.5 * record.diameter_m, ground - bury_m,
                 ground + record.height_m, pole_sides);
    standing.close(id);
  }
}

void stand_trees(Standing& standing) {
  const Defaults& defaults = standing.imported.defaults;
  const double crown_base_share = defaults("crown_base_share");
  for (const TreeRecord& record : standing.imported.trees) {
    const FlatPoint p = standing.flat(record.place);
    if (off_ground(standing, p, record.source, "tree")) continue;
    const double ground = standing.ground_at(p), top = ground + record.height_m;
    const std::string height_source = record.height_defaulted ? "default" : "tagged";
    const double half_height = 0.5 * record.height_m * (1.0 - crown_base_share);
    const CrownShape crown{.center = {p.x_m, p.y_m, top - half_height},
                           .radius_m = 0.5 * record.crown_diameter_m,
                           .half_height_m = half_height};
    const ObstacleId trunk = standing.open({.id = record.id,
                                            .kind = ObstacleKind::trunk,
                                            .what = "tree trunk",
                                            .material = standing.material("wood"),
                                            .base_m = ground,
                                            .top_m = crown.center.z_m,
                                            .source = record.source,
                                            .species_class = record.species_class,
                                            .height_source = height_source,
                                            .crown = {}});
    const double radius = 0.5 * record.height_m * defaults("trunk_diameter_share");
    add_cylinder(standing.pen(trunk), p, radius, ground - bury_m, crown.center.z_m, pole_sides);
    standing.close(trunk);
    const ObstacleId foliage = standing.open({.id = record.id,
                                              .kind = ObstacleKind::crown,
                                              .what = "tree",
                                              .material = standing.material("wood"),
                                              .base_m = top - 2.0 * half_height,
                                              .top_m = top,
                                              .source = record.source,
                                              .species_class = record.species_class,
                                              .height_source = height_source,
                                              .crown = crown});
    add_enclosing_ellipsoid(standing.pen(foliage), crown);
    standing.close(foliage);
  }
}

namespace {

/// A thin wall along a line, in pieces that follow the ground.
void stand_wall(Standing& standing, ObstacleId id, const std::vector<Xy>& line, double thickness_m,
                double base_m, double height_m) {
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const FlatPoint a = standing.flat(line[i]), b = standing.flat(line[i + 1]);
    const double length = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
    if (length < 1e-6) continue;
    const FlatPoint axis{(b.x_m - a.x_m) / length, (b.y_m - a.y_m) / length};
    const bool flat = standing.scene.ground.grid.empty();
    const double piece_m = flat ? flat_wall_piece_m : wall_piece_m;
    const int pieces = std::max(1, static_cast<int>(std::ceil(length / piece_m)));
    for (int k = 0; k < pieces; ++k) {
      const double from = length * k / pieces, to = length * (k + 1) / pieces;
      const FlatPoint middle{a.x_m + axis.x_m * 0.5 * (from + to),
                             a.y_m + axis.y_m * 0.5 * (from + to)};
      const double ground = standing.ground_at(middle);
      if (std::isnan(ground)) continue;
      add_box(standing.pen(id), middle, axis, 0.5 * (to - from), 0.5 * thickness_m,
              ground + base_m - (base_m > 0.0 ? 0.0 : bury_m), ground + base_m + height_m);
    }
  }
}

}  // namespace

void stand_objects(Standing& standing) {
  for (const ObjectRecord& record : standing.imported.objects) {
    const bool vehicle = record.kind <= ObjectKind::bus;
    const ObstacleId id =
        standing.open({.id = record.id,
                       .kind = vehicle ? ObstacleKind::vehicle : ObstacleKind::object,
                       .what = noun(record.kind),
                       .material = standing.material(record.material),
                       .source = record.source,
                       .species_class = {},
                       .height_source = {},
                       .crown = {}});
    if (record.place) {
      const FlatPoint p = standing.flat(*record.place);
      const ScenePoint axis = standing.scene.frame.direction(record.heading, {p.x_m, p.y_m, 0.0});
      FlatRings corners(1);
      for (const auto& [u, v] : {std::pair{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}}) {
        corners[0].push_back(
            {p.x_m + u * record.length_m * axis.x_m - v * record.width_m * axis.y_m,
             p.y_m + u * record.length_m * axis.y_m + v * record.width_m * axis.x_m});
      }
      const double ground = standing.ground_under(corners).lowest_m;
      if (!std::isnan(ground)) {
        add_box(standing.pen(id), p, {axis.x_m, axis.y_m}, 0.5 * record.length_m,
                0.5 * record.width_m, ground + record.base_m,
                ground + record.base_m + record.height_m);
      }
    }
    for (const auto& line : record.lines) {
      stand_wall(standing, id, line, record.width_m, record.base_m, record.height_m);
    }
    for (const MapPolygon& polygon : record.polygons) {
      const FlatRings rings = standing.flat(polygon);
      const auto under = standing.ground_under(rings);
      if (std::isnan(under.lowest_m)) continue;
      add_prism(standing.pen(id), rings, under.lowest_m + record.base_m,
                under.mean_m + record.base_m + record.height_m);
    }
    standing.close(id);
    if (standing.scene.obstacles[id].triangle_count == 0) {
      standing.scene.obstacles.pop_back();
      standing.drop(record.source, "off_ground", "object stands outside the ground raster");
    }
  }
}

}  // namespace sim
