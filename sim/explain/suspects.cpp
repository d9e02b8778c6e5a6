#include "sim/explain/suspects.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>

#include "sim/scene/scene_builder.h"

namespace sim {
namespace {

// All numbers of this search are common practice, no source.
constexpr double cell_m = 1.0;
/// What an obstacle may be like: half of its sides, the way its long side lies (anticlockwise from
/// east), and how often things are so. Street things are posts and boxes, or long like vehicles and
/// hoardings.
struct Shape {
  double half_length_m, half_width_m, lies_rad, prior;
};
constexpr double eighth = 0.25 * std::numbers::pi;
constexpr std::array<Shape, 7> shapes{{{1.0, 1.0, 0.0, 0.25},
                                       {2.0, 2.0, 0.0, 0.25},
                                       {4.0, 4.0, 0.0, 0.10},
                                       {4.0, 1.25, 0.0, 0.10},
                                       {4.0, 1.25, eighth, 0.10},
                                       {4.0, 1.25, 2.0 * eighth, 0.10},
                                       {4.0, 1.25, 3.0 * eighth, 0.10}}};
/// And they are low.
constexpr std::array<double, 3> heights_m{2.2, 3.5, 6.0};
constexpr std::array<double, 3> height_priors{0.4, 0.4, 0.2};
constexpr std::size_t guesses = shapes.size() * heights_m.size();
constexpr double farthest_reach_m = 4.2;  ///< of any shape from its middle
constexpr double gap_at_node_m = 2.0;
constexpr double blur_m = 0.4;  ///< of a thing's edges
/// A single ray never says more than this: a phone may fail by itself.
constexpr double least_log_ratio = -2.5, most_log_ratio = 3.0;
constexpr double prior_of_a_missing_thing = 0.5;
constexpr double street_area_m2 = 4000.0;  ///< over which it may stand anywhere
constexpr std::size_t most_suspects = 20;
constexpr double least_odds = 0.25;  ///< of there being a thing at all; less is not reported
constexpr double enough_likelihood = 0.5;
constexpr std::size_t enough_rays = 2;

using Cell = std::pair<int, int>;
using Scores = std::array<double, guesses>;

ScenePoint middle(Cell c) { return {(c.first + 0.5) * cell_m, (c.second + 0.5) * cell_m, 0.0}; }

double below(double x, double sigma) { return 0.5 * std::erfc(-x / (sigma * std::sqrt(2.0))); }

const Shape& shape_of(std::size_t guess) { return shapes[guess / heights_m.size()]; }
double height_of(std::size_t guess) { return heights_m[guess % heights_m.size()]; }
double prior_of(std::size_t guess) {
  return shape_of(guess).prior * height_priors[guess % heights_m.size()];
}

/// Half of what a shape covers across and along a ray that runs `runs_rad` anticlockwise from east.
struct Cover {
  double across_m, along_m;
};
Cover cover_of(const Shape& shape, double runs_rad) {
  const double s = std::abs(std::sin(runs_rad - shape.lies_rad));
  const double c = std::abs(std::cos(runs_rad - shape.lies_rad));
  return {shape.half_length_m * s + shape.half_width_m * c,
          shape.half_length_m * c + shape.half_width_m * s};
}

/// A ray in plan.
struct Ray {
  ScenePoint node, phone;
  double length_m, sigma_m;

  double along_m(ScenePoint p) const {
    return ((p.x_m - node.x_m) * (phone.x_m - node.x_m) +
            (p.y_m - node.y_m) * (phone.y_m - node.y_m)) /
           length_m;
  }
  double across_m(ScenePoint p) const {
    return ((phone.x_m - node.x_m) * (p.y_m - node.y_m) -
            (phone.y_m - node.y_m) * (p.x_m - node.x_m)) /
           length_m;
  }
  ScenePoint at(double along) const { return node + (along / length_m) * (phone - node); }
  /// How sure it is that a thing of that half width around the place takes the ray.
  double taken(double along, double across, double half_width_m) const {
    const double sigma = std::hypot(sigma_m * along / length_m, blur_m);
    const double beside = below(across + half_width_m, sigma) - below(across - half_width_m, sigma);
    return beside * below(length_m - along - 0.5, std::hypot(sigma_m, blur_m));
  }
};

class Search {
 public:
  Search(const Scene& scene, std::vector<SuspectRay> rays)
      : scene_(scene), footprints_(scene), rays_(std::move(rays)) {
    for (SuspectRay& ray : rays_) {
      ray.log_ratio = std::clamp(ray.log_ratio, least_log_ratio, most_log_ratio);
    }
  }

  std::optional<Suspect> next() {
    score_cells();
    const std::pair<const Cell, Scores>* best = nullptr;
    double most = 0.0, all = 0.0;
    for (const auto& cell : scores_) {
      const double mass = mass_of(cell.second);
      all += mass;
      if (mass > most) best = &cell;
      most = std::max(most, mass);
    }
    const double exists = prior_of_a_missing_thing / street_area_m2 * cell_m * cell_m * all;
    const double none = 1.0 - prior_of_a_missing_thing;
    if (best == nullptr || exists < least_odds * none) return std::nullopt;
    return close(best->first, all, exists / (exists + none));
  }

 private:
  static double mass_of(const Scores& scores) {
    double mass = 0.0;
    for (std::size_t g = 0; g < guesses; ++g) mass += prior_of(g) * std::exp(scores[g]);
    return mass;
  }

  Ray ray_of(const SuspectRay& r) const {
    const ScenePoint node = scene_.nodes[r.node].position;
    return {node, r.phone, std::max(horizontal_distance_m(node, r.phone), 1e-3), r.place_sigma_m};
  }

  /// Calls visit(cell, along, across, height over ground) for the cells near a ray.
  template <class Visit>
  void walk(const Ray& ray, const Visit& visit) const {
    const double reach = farthest_reach_m + 2.0 * ray.sigma_m;
    const auto cell_of = [](double m) { return static_cast<int>(std::floor(m / cell_m)); };
    const int west = cell_of(std::min(ray.node.x_m, ray.phone.x_m) - reach);
    const int east = cell_of(std::max(ray.node.x_m, ray.phone.x_m) + reach);
    for (int x = west; x <= east; ++x) {
      // Along the column, the cells within reach of the ray's line.
      const ScenePoint d = ray.phone - ray.node;
      double south = std::min(ray.node.y_m, ray.phone.y_m) - reach;
      double north = std::max(ray.node.y_m, ray.phone.y_m) + reach;
      if (std::abs(d.x_m) > 1e-6) {
        const double slope = d.y_m / d.x_m;
        const double line = ray.node.y_m + slope * ((x + 0.5) * cell_m - ray.node.x_m);
        const double half = reach * std::hypot(1.0, slope);
        south = std::max(south, line - half);
        north = std::min(north, line + half);
      }
      for (int y = cell_of(south); y <= cell_of(north); ++y) {
        const ScenePoint p = middle({x, y});
        const double along = ray.along_m(p), across = ray.across_m(p);
        if (along < gap_at_node_m || along > ray.length_m + ray.sigma_m) continue;
        if (std::abs(across) > reach) continue;
        const double ground = scene_.ground.height_at(p.x_m, p.y_m);
        if (std::isnan(ground)) continue;
        visit(Cell{x, y}, along, across, ray.at(std::min(along, ray.length_m)).z_m - ground);
      }
    }
  }

  void score_cells() {
    scores_.clear();
    for (const SuspectRay& r : rays_) {
      if (r.log_ratio <= 0.0) continue;
      walk(ray_of(r), [&](Cell cell, double, double, double height_m) {
        if (height_m < heights_m.back()) scores_.try_emplace(cell, Scores{});
      });
    }
    std::erase_if(scores_, [&](const auto& cell) {
      const ScenePoint p = middle(cell.first);
      return footprints_.building_at(p.x_m, p.y_m).has_value();
    });
    for (const SuspectRay& r : rays_) {
      const Ray ray = ray_of(r);
      const double ratio = std::exp(r.log_ratio);
      std::array<Cover, shapes.size()> covers;
      for (std::size_t k = 0; k < shapes.size(); ++k) {
        covers[k] = cover_of(
            shapes[k], std::atan2(ray.phone.y_m - ray.node.y_m, ray.phone.x_m - ray.node.x_m));
      }
      const double falls = (ray.node.z_m - ray.phone.z_m) / ray.length_m;
      walk(ray, [&](Cell cell, double along, double across, double height_m) {
        const auto at = scores_.find(cell);
        if (at == scores_.end()) return;
        for (std::size_t k = 0; k < shapes.size(); ++k) {
          const double taken = ray.taken(along, across, covers[k].across_m);
          const double says = std::log(1.0 + taken * (ratio - 1.0));
          // A ray that comes down is lowest over the far end.
          const double far = std::min(covers[k].along_m, std::max(ray.length_m - along, 0.0));
          const double lowest = std::min(height_m, height_m - falls * far);
          for (std::size_t h = 0; h < heights_m.size(); ++h) {
            if (lowest < heights_m[h]) at->second[k * heights_m.size() + h] += says;
          }
        }
      });
    }
  }

  /// The suspect about the best cell: the mean of the posterior near it.
  Suspect close(Cell best, double all, double exists) {
    constexpr double near_m = 6.0;  // of one thing; farther is another
    const ScenePoint top = middle(best);
    Suspect suspect;
    double mass = 0.0;
    for (const auto& [cell, scores] : scores_) {
      const ScenePoint p = middle(cell);
      if (horizontal_distance_m(p, top) > near_m) continue;
      for (std::size_t g = 0; g < guesses; ++g) {
        const double weight = prior_of(g) * std::exp(scores[g]);
        mass += weight;
        suspect.place.x_m += weight * p.x_m;
        suspect.place.y_m += weight * p.y_m;
        suspect.width_m += weight * 2.0 * shape_of(g).half_length_m;
        suspect.height_m += weight * height_of(g);
      }
    }
    suspect.place = (1.0 / mass) * suspect.place;
    suspect.width_m /= mass;
    suspect.height_m /= mass;
    suspect.place.z_m = scene_.ground.height_at(suspect.place.x_m, suspect.place.y_m);
    double near = 0.0;
    for (const auto& [cell, scores] : scores_) {
      if (horizontal_distance_m(middle(cell), suspect.place) <= Suspect::place_tolerance_m) {
        near += mass_of(scores);
      }
    }
    suspect.likelihood = exists * near / all;
    claim_rays(suspect, top);
    suspect.enough_evidence =
        suspect.likelihood >= enough_likelihood && suspect.points.size() >= enough_rays;
    return suspect;
  }

  /// The weaker rays that it probably takes are explained; a suspect without any takes the best.
  void claim_rays(Suspect& suspect, ScenePoint top) {
    std::vector<bool> mine(rays_.size(), false);
    for (std::size_t i = 0; i < rays_.size(); ++i) {
      if (rays_[i].log_ratio <= 0.0) continue;
      const Ray ray = ray_of(rays_[i]);
      for (const ScenePoint p : {suspect.place, top}) {
        const double along = ray.along_m(p);
        const double half = std::max(0.5 * suspect.width_m, cell_m) + blur_m;
        const bool inside = along > 0.0 && along < ray.length_m + ray.sigma_m;
        mine[i] = mine[i] || (inside && ray.taken(along, ray.across_m(p), half) > 0.3);
      }
      if (!mine[i]) continue;
      if (suspect.points.empty()) suspect.node = rays_[i].node;
      suspect.points.push_back(rays_[i].point);
      rays_[i].log_ratio = 0.0;
    }
  }

  const Scene& scene_;
  FootprintIndex footprints_;
  std::vector<SuspectRay> rays_;
  std::map<Cell, Scores> scores_;  // ordered: the same answer every time
};

}  // namespace

std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRay> rays) {
  Search search(scene, std::move(rays));
  std::vector<Suspect> suspects;
  while (suspects.size() < most_suspects) {
    auto suspect = search.next();
    if (!suspect || suspect->points.empty()) break;
    suspects.push_back(std::move(*suspect));
  }
  std::stable_sort(suspects.begin(), suspects.end(),
                   [](const Suspect& a, const Suspect& b) { return a.likelihood > b.likelihood; });
  return suspects;
}

}  // namespace sim
