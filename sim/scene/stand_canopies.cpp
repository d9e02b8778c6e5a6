#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/scene/standing.h"

namespace sim {
namespace {

/// Tops are rounded to this, so that cells of one crown join into longer boxes.
constexpr double top_step_m = 1.0;

}  // namespace

void add_canopy_columns(Standing& standing, const HeightGrid& top, const SourceRef& source,
                        const std::string& species_class) {
  const GridSpec& spec = top.spec;
  const double base_share = standing.imported.defaults("crown_base_share");
  std::vector<int> patch(spec.size(), -1);
  const auto leafy = [&](int col, int row) {
    return col >= 0 && row >= 0 && col < spec.cols && row < spec.rows &&
           !std::isnan(top.values[spec.index(col, row)]);
  };
  // Connected cells are one patch: one thing to name.
  int patches = 0;
  std::vector<std::vector<std::pair<int, int>>> cells;
  for (int row = 0; row < spec.rows; ++row) {
    for (int col = 0; col < spec.cols; ++col) {
      if (!leafy(col, row) || patch[spec.index(col, row)] >= 0) continue;
      std::vector<std::pair<int, int>> queue{{col, row}};
      patch[spec.index(col, row)] = patches;
      for (std::size_t i = 0; i < queue.size(); ++i) {
        const auto [c, r] = queue[i];
        for (const auto& [dc, dr] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
          if (!leafy(c + dc, r + dr) || patch[spec.index(c + dc, r + dr)] >= 0) continue;
          patch[spec.index(c + dc, r + dr)] = patches;
          queue.emplace_back(c + dc, r + dr);
        }
      }
      cells.push_back(std::move(queue));
      ++patches;
    }
  }
  for (int p = 0; p < patches; ++p) {
    auto& own = cells[static_cast<std::size_t>(p)];
    std::sort(own.begin(), own.end(), [](const auto& a, const auto& b) {
      return std::pair(a.second, a.first) < std::pair(b.second, b.first);
    });
    const ObstacleId id = standing.open({.id = "canopy/" + std::to_string(p + 1),
                                         .kind = ObstacleKind::canopy,
                                         .what = "canopy",
                                         .material = standing.material("wood"),
                                         .source = source,
                                         .species_class = species_class,
                                         .height_source = "surface",
                                         .crown = {}});
    MeshPen pen = standing.pen(id);
    for (std::size_t i = 0; i < own.size();) {
      const int col = own[i].first, row = own[i].second;
      const auto rounded = [&](int c) {
        return top_step_m *
               std::round(static_cast<double>(top.values[spec.index(c, row)]) / top_step_m);
      };
      const double height = rounded(col);
      const double y = spec.center_y_m(row);
      const double ground = standing.ground_at(standing.flat({spec.center_x_m(col), y}));
      std::size_t end = i + 1;
      int last = col;
      while (end < own.size() && own[end].second == row && own[end].first == last + 1 &&
             rounded(last + 1) == height) {
        const double next = standing.ground_at(standing.flat({spec.center_x_m(last + 1), y}));
        if (!(std::abs(next - ground) < 0.5 * top_step_m)) break;
        ++last;
        ++end;
      }
      i = end;
      if (std::isnan(ground)) continue;
      const double west = spec.west_m + col * spec.cell_x_m;
      const double east = spec.west_m + (last + 1) * spec.cell_x_m;
      add_box(pen, standing.flat({0.5 * (west + east), y}), {1.0, 0.0}, 0.5 * (east - west),
              0.5 * spec.cell_y_m, ground + base_share * height, ground + height);
    }
    standing.close(id);
    if (standing.scene.obstacles[id].triangle_count == 0) standing.scene.obstacles.pop_back();
  }
}

void stand_canopies(Standing& standing) {
  for (const CanopyRecord& record : standing.imported.canopies) {
    add_canopy_columns(standing, record.top, record.source, "broadleaf");
  }
  const double base_share = standing.imported.defaults("crown_base_share");
  for (const WoodlandRecord& record : standing.imported.woodlands) {
    const ObstacleId id = standing.open({.id = record.id,
                                         .kind = ObstacleKind::canopy,
                                         .what = "woodland",
                                         .material = standing.material("wood"),
                                         .source = record.source,
                                         .species_class = record.species_class,
                                         .height_source = "tagged",
                                         .crown = {}});
    for (const MapPolygon& polygon : record.polygons) {
      const FlatRings rings = standing.flat(polygon);
      const auto under = standing.ground_under(rings);
      if (std::isnan(under.lowest_m)) continue;
      // From the lowest crown base to the highest crown: a wood on a slope is one body.
      add_prism(standing.pen(id), rings, under.lowest_m + base_share * record.height_m,
                under.highest_m + record.height_m);
    }
    standing.close(id);
    if (standing.scene.obstacles[id].triangle_count == 0) {
      standing.scene.obstacles.pop_back();
      standing.drop(record.source, "off_ground", "woodland stands outside the ground raster");
    }
  }
}

}  // namespace sim
