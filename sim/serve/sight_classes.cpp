#include "sim/serve/sight_classes.h"

#include "sim/base/parallel.h"

namespace sim {
namespace {

constexpr KindMask narrow_mask = opaque_mask & ~wide_mask;

bool has_any(const Scene& scene, KindMask kinds) {
  for (int k = 0; k < obstacle_kind_count; ++k) {
    const auto kind = static_cast<ObstacleKind>(k);
    if ((mask_of(kind) & kinds) != 0 && !scene.mesh(kind).triangles.empty()) return true;
  }
  return false;
}

/// Of the rays that are free so far, those that something of the kinds stands before get a class.
void look_for(const RayCaster& caster, KindMask kinds, RayClass found, const Node& node,
              std::vector<Segment>& rays, std::vector<std::uint32_t>& of,
              std::vector<RayClass>& classes) {
  if (rays.empty() || !has_any(caster.scene(), kinds)) return;
  std::vector<std::uint8_t> clear(rays.size());
  caster.is_clear(rays, clear, {.blocking = kinds, .ignored = node.own_poles});
  std::size_t kept = 0;
  for (std::size_t i = 0; i < rays.size(); ++i) {
    if (clear[i] == 0) {
      classes[of[i]] = found;
      continue;
    }
    rays[kept] = rays[i];
    of[kept++] = of[i];
  }
  rays.resize(kept);
  of.resize(kept);
}

/// The open cells within reach of some node, their class not looked at.
std::vector<SeenCell> cells_in_reach(const Scene& scene, const StreetLattice::Ground& ground,
                                     const GridSpec& spec, const PredictOptions& options) {
  const auto rows = static_cast<std::size_t>(spec.rows);
  std::vector<std::vector<SeenCell>> by_row(rows);
  constexpr std::size_t block = 16;
  parallel_blocks(rows, block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row) {
      by_row[row].reserve(static_cast<std::size_t>(spec.cols));
      for (int col = 0; col < spec.cols; ++col) {
        const std::size_t i = spec.index(col, static_cast<int>(row));
        if (ground.foothold[i] != Foothold::open) continue;
        const double x = spec.center_x_m(col) - scene.frame.origin.x_m;
        const double y = spec.center_y_m(static_cast<int>(row)) - scene.frame.origin.y_m;
        const ScenePoint phone{x, y, ground.height_m[i] + options.receiver_height_agl_m};
        for (const Node& node : scene.nodes) {
          if (horizontal_distance_m(node.position, phone) > options.radius_m) continue;
          by_row[row].push_back({.cell = static_cast<std::uint32_t>(i), .phone = phone});
          break;
        }
      }
    }
  });
  std::vector<SeenCell> cells;
  std::size_t count = 0;
  for (const auto& row : by_row) count += row.size();
  cells.reserve(count);
  for (const auto& row : by_row) cells.insert(cells.end(), row.begin(), row.end());
  return cells;
}

}  // namespace

std::vector<SeenCell> seen_cells(const RayCaster& caster, const StreetLattice::Ground& ground,
                                 const GridSpec& spec, const PredictOptions& options) {
  const Scene& scene = caster.scene();
  std::vector<SeenCell> cells = cells_in_reach(scene, ground, spec, options);
  std::vector<RayClass> classes(cells.size());
  std::vector<bool> looked(cells.size(), false);
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    const Node& node = scene.nodes[n];
    std::vector<Segment> rays;
    std::vector<std::uint32_t> of;
    rays.reserve(cells.size());
    of.reserve(cells.size());
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (horizontal_distance_m(node.position, cells[i].phone) > options.radius_m) continue;
      rays.push_back({node.position, cells[i].phone});
      of.push_back(static_cast<std::uint32_t>(i));
      classes[i] = RayClass::free;
    }
    const std::vector<std::uint32_t> all = of;
    look_for(caster, wide_mask, RayClass::wide, node, rays, of, classes);
    look_for(caster, narrow_mask, RayClass::narrow, node, rays, of, classes);
    look_for(caster, foliage_mask, RayClass::leaves, node, rays, of, classes);
    for (const std::uint32_t i : all) {
      SeenCell& cell = cells[i];
      const bool better = !looked[i] || classes[i] < cell.ray ||
                          (classes[i] == cell.ray &&
                           horizontal_distance_m(node.position, cell.phone) <
                               horizontal_distance_m(scene.nodes[cell.node].position, cell.phone));
      looked[i] = true;
      if (!better) continue;
      cell.node = n;
      cell.ray = classes[i];
    }
  }
  return cells;
}

}  // namespace sim
