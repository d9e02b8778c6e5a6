#include "sim/explain/suspects.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace sim {
namespace {

// All numbers of this search are common practice, no source.
constexpr double cell_m = 1.0;
constexpr double reach_m = 1.0;  ///< an obstacle takes rays that pass this near to its middle
constexpr double gap_at_node_m = 3.0, gap_at_phone_m = 0.8;
/// Street things reach to about here; an obstacle is e times less likely for each step above.
constexpr double usual_height_m = 1.5, height_step_m = 2.0;
// Log-odds that a ray through an obstacle's cell is weaker, and that a free ray is not taken; and
// what an unknown cause other than an obstacle is worth per ray.
constexpr double gain_per_weaker_ray = 2.2, cost_per_free_ray = 3.0, other_cause_per_ray = 1.6;
constexpr int most_suspects = 20;

using Cell = std::pair<int, int>;
Cell cell_at(ScenePoint p) {
  return {static_cast<int>(std::floor(p.x_m / cell_m)),
          static_cast<int>(std::floor(p.y_m / cell_m))};
}
ScenePoint middle(Cell c) { return {(c.first + 0.5) * cell_m, (c.second + 0.5) * cell_m, 0.0}; }

struct Pass {
  std::size_t ray = 0;
  double height_m = 0.0;  ///< of the ray above the ground here
};
using Passes = std::map<Cell, std::vector<Pass>>;  // ordered: the same answer every time

/// Street things are low: parked vehicles, hoardings, scaffolds. Log-prior of an obstacle that
/// reaches a ray at this height above ground.
double height_log_prior(double height_m) {
  return -std::max(height_m - usual_height_m, 0.0) / height_step_m;
}

/// The cells that a ray passes within reach, with its height above ground in each.
void mark(const Scene& scene, const SuspectRay& ray, std::size_t index, Passes& passes) {
  const ScenePoint node = scene.nodes[ray.node].position;
  const double length = horizontal_distance_m(node, ray.phone);
  std::map<Cell, double> seen;
  for (double s = gap_at_node_m; s < length - gap_at_phone_m; s += 0.5 * cell_m) {
    const ScenePoint p = node + (s / length) * (ray.phone - node);
    const double ground = scene.ground.height_at(p.x_m, p.y_m);
    if (std::isnan(ground)) continue;
    const auto [cx, cy] = cell_at(p);
    for (int dx = -1; dx <= 1; ++dx) {
      for (int dy = -1; dy <= 1; ++dy) {
        const Cell c{cx + dx, cy + dy};
        const ScenePoint m = middle(c);
        if (std::hypot(m.x_m - p.x_m, m.y_m - p.y_m) > reach_m) continue;
        const auto [at, fresh] = seen.try_emplace(c, p.z_m - ground);
        if (!fresh) at->second = std::min(at->second, p.z_m - ground);
      }
    }
  }
  for (const auto& [cell, height] : seen) passes[cell].push_back({index, height});
}

/// Distance of a place from the vertical plane of a ray, positive to its left.
double across_m(ScenePoint from, ScenePoint to, ScenePoint place) {
  const double length = horizontal_distance_m(from, to);
  return ((to.x_m - from.x_m) * (place.y_m - from.y_m) -
          (to.y_m - from.y_m) * (place.x_m - from.x_m)) /
         length;
}

class Search {
 public:
  Search(const Scene& scene, std::vector<SuspectRay> rays) : scene_(scene), rays_(std::move(rays)) {
    for (std::size_t i = 0; i < rays_.size(); ++i) mark(scene_, rays_[i], i, passes_);
    open_.assign(rays_.size(), true);
  }

  std::optional<Suspect> next() {
    const Cell* best = nullptr;
    double best_score = 0.0;
    for (const auto& [cell, passes] : passes_) {
      const double s = score(passes);
      if (weaker_in(passes) > 0 && (best == nullptr || s > best_score)) {
        best = &cell;
        best_score = s;
      }
    }
    if (best == nullptr || best_score <= 0.0) return std::nullopt;
    return close(*best);
  }

 private:
  std::size_t weaker_in(const std::vector<Pass>& passes) const {
    return static_cast<std::size_t>(std::count_if(passes.begin(), passes.end(), [&](const Pass& p) {
      return rays_[p.ray].weaker && open_[p.ray];
    }));
  }

  double score(const std::vector<Pass>& passes) const {
    double sum = 0.0, top = 0.0;
    for (const Pass& p : passes) {
      if (rays_[p.ray].weaker && open_[p.ray]) top = std::max(top, p.height_m);
    }
    for (const Pass& p : passes) {
      if (rays_[p.ray].weaker) {
        if (open_[p.ray]) sum += gain_per_weaker_ray;
      } else if (p.height_m <= top) {
        sum -= cost_per_free_ray;  // it would have been taken too
      }
    }
    return sum + height_log_prior(top);
  }

  Suspect close(Cell best) {
    Suspect suspect{.place = middle(best)};
    suspect.place.z_m = scene_.ground.height_at(suspect.place.x_m, suspect.place.y_m);
    std::vector<std::size_t> mine;
    for (const Pass& p : passes_.at(best)) {
      if (!rays_[p.ray].weaker || !open_[p.ray]) continue;
      mine.push_back(p.ray);
      suspect.points.push_back(rays_[p.ray].point);
      suspect.height_m = std::max(suspect.height_m, p.height_m);
    }
    suspect.node = rays_[mine.front()].node;
    double left = -1e300, right = 1e300;
    for (const std::size_t r : mine) {
      const double d =
          across_m(scene_.nodes[rays_[r].node].position, rays_[r].phone, suspect.place);
      left = std::max(left, d);
      right = std::min(right, d);
    }
    suspect.width_m = std::max(left - right, cell_m);
    // This cell and its neighbours against every cell the same rays pass, and against no obstacle.
    double near = 0.0, all = std::exp(other_cause_per_ray * static_cast<double>(mine.size()));
    for (const auto& [cell, passes] : passes_) {
      const bool shared = std::any_of(passes.begin(), passes.end(), [&](const Pass& p) {
        return std::find(mine.begin(), mine.end(), p.ray) != mine.end();
      });
      if (!shared) continue;
      const double odds = std::exp(score(passes));
      all += odds;
      const ScenePoint m = middle(cell);
      if (horizontal_distance_m(m, suspect.place) <= Suspect::place_tolerance_m) near += odds;
    }
    suspect.likelihood = near / all;
    for (const std::size_t r : mine) open_[r] = false;
    std::sort(suspect.points.begin(), suspect.points.end());
    return suspect;
  }

  const Scene& scene_;
  std::vector<SuspectRay> rays_;
  Passes passes_;
  std::vector<bool> open_;
};

}  // namespace

std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRay> rays) {
  Search search(scene, std::move(rays));
  std::vector<Suspect> suspects;
  while (static_cast<int>(suspects.size()) < most_suspects) {
    auto suspect = search.next();
    if (!suspect) break;
    suspects.push_back(std::move(*suspect));
  }
  std::stable_sort(suspects.begin(), suspects.end(),
                   [](const Suspect& a, const Suspect& b) { return a.likelihood > b.likelihood; });
  return suspects;
}

}  // namespace sim
