#include "sim/link/screens.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double least_loss_db = 0.01;   // cheaper things are left out of the ledger
constexpr double stands_within_m = 0.3;  // of the ground: no way under it

/// One screen with its own loss and the part of the zone it covers, in Fresnel units.
struct Screen {
  ObstacleId obstacle = no_obstacle;
  double at_m = 0.0;
  double width_m = 0.0;  ///< the lesser of its two extents across the path
  double left = 0.0, right = 0.0, bottom = 0.0, top = 0.0;  ///< as edge parameters, outwards
  Db loss;
};

Screen screen_of(const PathSight& sight, ObstacleId id, const Outline& o) {
  const Scene& scene = sight.caster.scene();
  const PathProfile& path = sight.path;
  const double upright =
      horizontal_distance_m(path.a, path.b) / std::max(path.length_m, 1e-9);  // cos of the slope
  const ScenePoint place = path.a + (o.above_at_m / path.length_m) * (path.b - path.a);
  const double ground = scene.ground.height_at(place.x_m, place.y_m);
  const bool stands = scene.obstacles[id].base_m < ground + stands_within_m;
  constexpr double infinite = std::numeric_limits<double>::infinity();
  const UprightOutline outline{.left = {o.left_m, o.left_at_m},
                               .right = {o.right_m, o.right_at_m},
                               .top = {o.above_m * upright, o.above_at_m},
                               .bottom = {stands ? infinite : o.below_m * upright, o.below_at_m}};
  const auto v = [&](const OutlineSide& side) {
    return std::isinf(side.offset_m)
               ? side.offset_m
               : edge_parameter(sight.frequency, path.length_m, side.at_m, side.offset_m);
  };
  return {.obstacle = id,
          .at_m = o.above_at_m,
          .width_m = std::min(o.left_m + o.right_m, o.above_m + o.below_m),
          .left = v(outline.left),
          .right = v(outline.right),
          .bottom = v(outline.bottom),
          .top = v(outline.top),
          .loss = upright_screen_loss(sight.frequency, path.length_m, outline, sight.sway_m)};
}

/// Length common to [-a1, b1] and [-a2, b2] over the shorter, both held to the zones that matter.
double common_share(double a1, double b1, double a2, double b2) {
  static constexpr double far = 5.0;
  const auto held = [](double v) { return std::clamp(v, -far, far); };
  const double common = std::min(held(b1), held(b2)) + std::min(held(a1), held(a2));
  const double shorter = std::min(held(a1) + held(b1), held(a2) + held(b2));
  return shorter > 0.0 ? std::clamp(common / shorter, 0.0, 1.0) : 0.0;
}

/// Share of its loss that a thing adds beside a dearer one.
double added_share(const PathSight& sight, const Screen& dearer, const Screen& thing) {
  constexpr double refill = 0.4;  // of width^2 / lambda; fitted, see the header
  const double overlap = common_share(dearer.left, dearer.right, thing.left, thing.right) *
                         common_share(dearer.bottom, dearer.top, thing.bottom, thing.top);
  const double length_m = sight.path.length_m;
  const double a = std::max(std::min(dearer.at_m, thing.at_m), 1e-3);
  const double c = std::max(length_m - std::max(dearer.at_m, thing.at_m), 1e-3);
  const double b = std::abs(dearer.at_m - thing.at_m);
  const double apart = 2.0 / std::numbers::pi * std::atan(std::sqrt(b * length_m / (a * c)));
  const double filled_over_m =
      refill * dearer.width_m * dearer.width_m / sight.frequency.wavelength_m();
  const double filled = b / std::max(b + filled_over_m, 1e-9);
  return 1.0 - overlap * (1.0 - std::max(apart, filled));
}

}  // namespace

void add_screens(const PathSight& sight, std::vector<LossTerm>& terms) {
  const Scene& scene = sight.caster.scene();
  std::vector<Screen> screens;
  const auto consider = [&](ObstacleId id, const Outline& outline) {
    const ObstacleKind kind = scene.obstacles[id].kind;
    if (is_foliage(kind) || is_wide(kind)) return;
    Screen screen = screen_of(sight, id, outline);
    if (screen.loss.value >= least_loss_db) screens.push_back(screen);
  };
  for (const Crossing& c : sight.path.crossings) consider(c.obstacle, c.outline);
  for (const Passing& p : sight.path.passing) consider(p.obstacle, p.outline);
  std::stable_sort(screens.begin(), screens.end(), [](const Screen& a, const Screen& b) {
    return std::tie(b.loss, a.at_m, a.obstacle) < std::tie(a.loss, b.at_m, b.obstacle);
  });
  for (std::size_t i = 0; i < screens.size(); ++i) {
    double share = 1.0;
    for (std::size_t k = 0; k < i; ++k) {
      share = std::min(share, added_share(sight, screens[k], screens[i]));
    }
    terms.push_back({.model = "silhouette",
                     .source = "Kirchhoff field behind the outline, local mean",
                     .group = TermGroup::diffraction,
                     .loss = share * screens[i].loss,
                     .cause = cause_of(scene.obstacles[screens[i].obstacle].kind),
                     .obstacle = screens[i].obstacle,
                     .validity = Validity::inside});
  }
}

}  // namespace sim
