#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/report/answers.h"
#include "sim/report/canvas.h"
#include "sim/report/cautions.h"
#include "sim/report/map_furniture.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

// Class colours after Okabe and Ito, lightened for areas; each class has a second cue in its
// texture.
constexpr Colour paper{0.985, 0.982, 0.97}, ink{0.13, 0.14, 0.17}, faint{0.45, 0.46, 0.5};
constexpr Colour hold_colour{0.62, 0.80, 0.91}, marginal_colour{0.96, 0.84, 0.55},
    drop_colour{0.93, 0.72, 0.62};
constexpr Colour building_fill{0.80, 0.80, 0.81}, building_line{0.42, 0.43, 0.46};
constexpr Colour leaf{0.0, 0.45, 0.30, 0.30}, leaf_line{0.0, 0.36, 0.24, 0.8};
constexpr Colour vehicle_colour{0.80, 0.47, 0.65}, street_line{1, 1, 1, 0.85};
constexpr Colour node_colour{0.0, 0.25, 0.45}, none{0, 0, 0, 0};

struct MapPlace {
  double left = 0.0, top = 0.0, pixels_per_m = 1.0;
  GridSpec part;  ///< of the grid, that is shown
  PixelPoint at(MapPoint p) const {
    return {left + (p.x_m - part.west_m) * pixels_per_m,
            top + (part.north_m - p.y_m) * pixels_per_m};
  }
};

/// The part of the grid that has answers, with a margin; the whole grid when none has.
GridSpec answered_part(const PredictionGrid& grid) {
  constexpr int margin_cells = 4;
  const GridSpec& spec = grid.spec;
  const auto& sight = grid.band("sight").values;
  int west = spec.cols, east = -1, north = spec.rows, south = -1;
  for (int row = 0; row < spec.rows; ++row) {
    for (int col = 0; col < spec.cols; ++col) {
      if (std::isnan(sight[spec.index(col, row)])) continue;
      west = std::min(west, col);
      east = std::max(east, col);
      north = std::min(north, row);
      south = std::max(south, row);
    }
  }
  if (east < 0) return spec;
  west = std::max(west - margin_cells, 0);
  north = std::max(north - margin_cells, 0);
  GridSpec part = spec;
  part.west_m += west * spec.cell_x_m;
  part.north_m -= north * spec.cell_y_m;
  part.cols = std::min(east + margin_cells, spec.cols - 1) - west + 1;
  part.rows = std::min(south + margin_cells, spec.rows - 1) - north + 1;
  return part;
}

void draw_states(Canvas& canvas, const MapPlace& map, const PredictionGrid& grid) {
  const auto& state = grid.band("state").values;
  const double size = grid.spec.cell_x_m * map.pixels_per_m;
  for (int row = 0; row < grid.spec.rows; ++row) {
    for (int col = 0; col < grid.spec.cols; ++col) {
      const float value = state[grid.spec.index(col, row)];
      if (std::isnan(value)) continue;
      const PixelPoint p = map.at({grid.spec.west_m + col * grid.spec.cell_x_m,
                                   grid.spec.north_m - row * grid.spec.cell_y_m, 0.0});
      // Whole pixels, so that neighbours leave no gap.
      const double left = std::floor(p.x), top = std::floor(p.y);
      canvas.rectangle(left, top, std::ceil(p.x + size) - left, std::ceil(p.y + size) - top,
                       value > 1.5F   ? hold_colour
                       : value > 0.5F ? marginal_colour
                                      : drop_colour);
    }
  }
  // Texture: slanted strokes over drops, dots over marginal, so that colour is not the only cue.
  constexpr double texture_px = 14.0;
  const int cols = static_cast<int>(map.part.cols * size / texture_px);
  const int rows = static_cast<int>(map.part.rows * size / texture_px);
  const auto first_col =
      static_cast<int>(std::lround((map.part.west_m - grid.spec.west_m) / grid.spec.cell_x_m));
  const auto first_row =
      static_cast<int>(std::lround((grid.spec.north_m - map.part.north_m) / grid.spec.cell_y_m));
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < cols; ++c) {
      const double x = (c + (r % 2 == 0 ? 0.25 : 0.75)) * texture_px, y = (r + 0.5) * texture_px;
      const int col = std::min(grid.spec.cols - 1, first_col + static_cast<int>(x / size));
      const int row = std::min(grid.spec.rows - 1, first_row + static_cast<int>(y / size));
      const float value = state[grid.spec.index(col, row)];
      if (std::isnan(value) || value > 1.5F) continue;
      const PixelPoint p{map.left + x, map.top + y};
      if (value > 0.5F) {
        canvas.circle(p, 1.3, {0.65, 0.45, 0.0, 0.8}, none, 0.0);
      } else {
        canvas.polyline({{p.x - 2.5, p.y + 2.5}, {p.x + 2.5, p.y - 2.5}}, {0.70, 0.27, 0.05, 0.75},
                        1.2);
      }
    }
  }
}

void draw_things(Canvas& canvas, const MapPlace& map, const Scene& scene) {
  const auto place = [&](ScenePoint p) { return map.at(scene.frame.map_from_scene(p)); };
  for (const Street& street : scene.streets) {
    std::vector<PixelPoint> line;
    for (const ScenePoint p : street.line) line.push_back(place(p));
    canvas.polyline(line, street_line, 2.5);
  }
  for (const BuildingOutline& outline : scene.outlines) {
    for (const auto& polygon : outline.polygons) {
      std::vector<std::vector<PixelPoint>> rings;
      for (const auto& ring : polygon) {
        auto& pixels = rings.emplace_back();
        for (const ScenePoint p : ring) pixels.push_back(place(p));
      }
      canvas.polygon(rings, building_fill, building_line, 0.9);
    }
  }
  for (const Obstacle& o : scene.obstacles) {
    const TriangleMesh& mesh = scene.mesh(o.kind);
    if (o.crown) {
      canvas.circle(place(o.crown->center), std::max(2.0, o.crown->radius_m * map.pixels_per_m),
                    leaf, leaf_line, 0.8);
    } else if (o.kind == ObstacleKind::pole) {
      canvas.circle(place(mesh.vertices[mesh.triangles[o.first_triangle][0]]), 2.2, ink, none, 0.0);
    } else if (o.kind == ObstacleKind::canopy || o.kind == ObstacleKind::vehicle ||
               o.kind == ObstacleKind::object) {
      // Only what faces up, seen from above.
      for (std::uint32_t t = 0; t < o.triangle_count; ++t) {
        const auto& [a, b, c] = mesh.triangles[o.first_triangle + t];
        const ScenePoint p = mesh.vertices[a], q = mesh.vertices[b], r = mesh.vertices[c];
        if (cross(q - p, r - p).z_m <= 1e-9) continue;
        const Colour fill = o.kind == ObstacleKind::canopy ? leaf : vehicle_colour;
        canvas.polygon({{place(p), place(q), place(r)}}, fill,
                       o.kind == ObstacleKind::canopy ? none : Colour{0.35, 0.15, 0.3}, 0.7);
      }
    }
  }
}

void draw_drops(Canvas& canvas, const MapPlace& map, const Scene& scene,
                const std::vector<DropStretch>& drops) {
  // A district has hundreds of them; thin lines then leave the map to be seen.
  constexpr std::size_t many = 60;
  const double scale = drops.size() > many ? 0.45 : 1.0;
  for (const DropStretch& drop : drops) {
    if (drop.direction != WalkDirection::outward) continue;
    std::vector<PixelPoint> line;
    for (const ScenePoint p : drop.line) line.push_back(map.at(scene.frame.map_from_scene(p)));
    canvas.polyline(line, {1, 1, 1}, scale * 5.5);
    canvas.polyline(line, {0.60, 0.15, 0.0}, scale * 2.6, {7.0, 6.0});
  }
}

void draw_nodes(Canvas& canvas, const MapPlace& map, const Scene& scene, double reach_m) {
  for (const Node& node : scene.nodes) {
    const PixelPoint p = map.at(scene.frame.map_from_scene(node.position));
    for (const Sector& sector : node.sectors) {
      std::vector<PixelPoint> wedge{p};
      for (int k = -8; k <= 8; ++k) {
        const Angle azimuth = sector.azimuth + Angle::degrees(32.5 * k / 8.0);
        wedge.push_back(map.at(scene.frame.map_from_scene(
            node.position + reach_m * scene.frame.direction(azimuth, node.position))));
      }
      canvas.polygon({wedge}, {0.0, 0.25, 0.45, 0.16}, {0.0, 0.25, 0.45, 0.9}, 1.3);
    }
  }
  for (const Node& node : scene.nodes) {
    const PixelPoint p = map.at(scene.frame.map_from_scene(node.position));
    canvas.circle(p, 6.5, {1, 1, 1}, node_colour, 2.6);
    canvas.circle(p, 2.4, node_colour, none, 0.0);
    canvas.text({p.x + 10, p.y - 8}, node.id, 17, node_colour, true, {1, 1, 1, 0.95});
  }
}

/// What the map holds for, in one line.
std::string assumptions(const Conditions& conditions) {
  std::string where(to_string(conditions.receiver_context));
  std::replace(where.begin(), where.end(), '_', ' ');
  const double bounces = conditions.defaults("reflections");
  return fmt::format(
      "Phone {} m above ground, {}; trees {}; {}; {}", conditions.receiver_height_agl_m, where,
      conditions.leaf_on ? "in leaf" : "bare",
      conditions.rain_mm_per_h > 0.0 ? fmt::format("rain of {} mm/h", conditions.rain_mm_per_h)
                                     : "no rain",
      bounces > 0.0 ? fmt::format("up to {} reflections and scattering", bounces)
                    : "reflections not traced");
}

}  // namespace

void write_coverage_map(const std::string& path, const std::string& world_file, const Scene& scene,
                        const PredictionGrid& grid, const std::vector<DropStretch>& drops,
                        const Stamp& stamp) {
  constexpr double longest_px = 1400.0, margin = 28.0, strip = 380.0, head = 64.0;
  const GridSpec part = answered_part(grid);
  const double east_m = part.cols * part.cell_x_m, north_m = part.rows * part.cell_y_m;
  MapPlace map{.left = margin,
               .top = head,
               .pixels_per_m = longest_px / std::max(east_m, north_m),
               .part = part};
  const double w = east_m * map.pixels_per_m, h = std::max(north_m * map.pixels_per_m, 760.0);
  Canvas canvas(static_cast<int>(margin + w + margin + strip), static_cast<int>(head + h + margin),
                paper);
  canvas.clip(map.left, map.top, w, north_m * map.pixels_per_m);
  draw_states(canvas, map, grid);
  draw_things(canvas, map, scene);
  draw_drops(canvas, map, scene, drops);
  double farthest = 0.0;
  for (const Node& node : scene.nodes) {
    farthest = std::max(farthest, part.north_m - scene.frame.map_from_scene(node.position).y_m);
  }
  draw_nodes(canvas, map, scene, std::min(60.0, 0.2 * farthest));
  canvas.unclip();
  canvas.outline(map.left, map.top, w, north_m * map.pixels_per_m, faint, 1.0);
  canvas.text({margin, 36}, stamp.site_name, 26, ink, true);
  canvas.text({margin, 55}, assumptions(scene.conditions), 13, faint);
  draw_furniture(canvas, {map.left + w + margin, head, strip - margin}, map.pixels_per_m,
                 scene.frame.convergence,
                 {{hold_colour, Texture::none, "link should hold"},
                  {marginal_colour, Texture::dots, "marginal"},
                  {drop_colour, Texture::strokes, "link should drop"},
                  {building_fill, Texture::none, "building"},
                  {{0.70, 0.86, 0.80}, Texture::none, "tree, canopy"},
                  {vehicle_colour, Texture::none, "vehicle, sign, wall"}});
  std::string credits;
  for (const std::string& one : stamp.credits) credits += (credits.empty() ? "" : "; ") + one;
  canvas.text({margin, head + h + 19}, credits, 11, faint);
  canvas.write_png(path);
  // World file: size of a pixel, no rotation, centre of the top left pixel.
  const double metres = 1.0 / map.pixels_per_m;
  write_text(world_file, fmt::format("{:.10f}\n0.0\n0.0\n{:.10f}\n{:.6f}\n{:.6f}\n", metres,
                                     -metres, part.west_m + (0.5 - map.left) * metres,
                                     part.north_m - (0.5 - map.top) * metres));
}

}  // namespace sim
