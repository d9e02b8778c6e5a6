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

/// Calls use(index, phone) for the open cells of a row within reach of some node.
template <class Use>
void each_open_cell(const Scene& scene, const StreetLattice::Ground& ground, const GridSpec& spec,
                    const PredictOptions& options, int row, const Use& use) {
  const double y_m = spec.center_y_m(row) - scene.frame.origin.y_m;
  for (int col = 0; col < spec.cols; ++col) {
    const std::size_t i = spec.index(col, row);
    if (ground.foothold[i] != Foothold::open) continue;
    const ScenePoint phone{spec.center_x_m(col) - scene.frame.origin.x_m, y_m,
                           ground.height_m[i] + options.receiver_height_agl_m};
    for (const Node& node : scene.nodes) {
      if (horizontal_distance_m(node.position, phone) > options.radius_m) continue;
      use(static_cast<std::uint32_t>(i), phone);
      break;
    }
  }
}

/// Finds the node that each of the cells looks to first, and past what.
void classify(const RayCaster& caster, const PredictOptions& options, std::span<SeenCell> cells) {
  const Scene& scene = caster.scene();
  std::vector<RayClass> classes(cells.size());
  std::vector<Segment> rays;
  std::vector<std::uint32_t> of, all;
  std::vector<bool> looked(cells.size(), false);
  rays.reserve(cells.size());
  of.reserve(cells.size());
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    const Node& node = scene.nodes[n];
    rays.clear();
    of.clear();
    for (std::uint32_t i = 0; i < cells.size(); ++i) {
      if (horizontal_distance_m(node.position, cells[i].phone) > options.radius_m) continue;
      rays.push_back({node.position, cells[i].phone});
      of.push_back(i);
      classes[i] = RayClass::free;
    }
    all = of;
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
}

}  // namespace

std::vector<SeenCell> seen_cells(const RayCaster& caster, const StreetLattice::Ground& ground,
                                 const GridSpec& spec, const PredictOptions& options) {
  const Scene& scene = caster.scene();
  // A few rows at a time: their rays stay in the processor's cache.
  constexpr std::size_t block = 8;
  const auto rows = static_cast<std::size_t>(spec.rows);
  std::vector<std::size_t> first(rows + 1, 0);
  parallel_blocks(rows, block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row) {
      each_open_cell(scene, ground, spec, options, static_cast<int>(row),
                     [&](std::uint32_t, ScenePoint) { ++first[row + 1]; });
    }
  });
  for (std::size_t row = 0; row < rows; ++row) first[row + 1] += first[row];
  std::vector<SeenCell> cells(first[rows]);
  parallel_blocks(rows, block, [&](std::size_t begin, std::size_t end) {
    std::size_t next = first[begin];
    for (std::size_t row = begin; row < end; ++row) {
      each_open_cell(scene, ground, spec, options, static_cast<int>(row),
                     [&](std::uint32_t cell, ScenePoint phone) {
                       cells[next++] = {.cell = cell, .phone = phone};
                     });
    }
    classify(caster, options, std::span(cells).subspan(first[begin], first[end] - first[begin]));
  });
  return cells;
}

}  // namespace sim
