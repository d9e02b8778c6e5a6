#include "sim/link/obstruction.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/finite_screen.h"
#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

constexpr double clear_zone_radii = 0.6;  // P.526: 60 % of the first zone free is free enough
constexpr double corner_gap_m = 0.05;     // a detour passes a corner at this distance

bool always_wide(ObstacleKind kind) { return (mask_of(kind) & wide_mask) != 0; }

/// Whether the silhouette is wider than the first Fresnel zone, both ways.
bool wider_than_zone(const PathProfile& path, const Crossing& c, double wavelength_m) {
  const double zone = 2.0 * fresnel_radius_m(wavelength_m, c.at_m, path.length_m - c.at_m);
  return std::min(c.left_m + c.right_m, c.above_m + c.below_m) > zone;
}

double parameter(const PathProfile& path, Frequency f, double at_m, double offset_m) {
  const double d1 = std::clamp(at_m, 1e-3, std::max(path.length_m - 1e-3, 1e-3));
  return fresnel_parameter(f, d1, std::max(path.length_m - d1, 1e-3), offset_m);
}

/// One edge for all wide things on the path: over the one that stands highest, or around the side
/// of them all where that way is free.
class WideEdge {
 public:
  WideEdge(const RayCaster& caster, const PathProfile& path, Frequency f,
           std::span<const ObstacleId> own_poles)
      : caster_(caster), path_(path), f_(f), own_poles_(own_poles) {}

  void add(const Crossing& c) {
    const double v = parameter(path_, f_, c.at_m, c.above_m);
    if (!found_ || v > over_) {
      over_ = v;
      highest_ = c;
    }
    for (const bool left : {true, false}) {
      const double offset = left ? c.left_m : c.right_m;
      const double at = left ? c.left_at_m : c.right_at_m;
      const double v_side = parameter(path_, f_, at, offset);
      Side& side = left ? left_ : right_;
      if (!found_ || v_side > side.v) side = {v_side, offset, at, c.obstacle};
    }
    found_ = true;
  }

  void close(const Scene& scene, std::vector<LossTerm>& terms) const {
    if (!found_) return;
    LossTerm term{.model = "knife_edge",
                  .source = "ITU-R P.526 section 4.1",
                  .group = TermGroup::diffraction,
                  .loss = knife_edge_loss(over_),
                  .cause = cause_of(scene.obstacles[highest_.obstacle].kind),
                  .obstacle = highest_.obstacle,
                  .validity = Validity::inside};
    for (const bool left : {true, false}) {
      const Side& side = left ? left_ : right_;
      if (!std::isfinite(side.offset_m) || knife_edge_loss(side.v) >= term.loss) continue;
      if (!detour_is_free(side, left)) continue;
      term.loss = knife_edge_loss(side.v);
      term.obstacle = side.obstacle;
      term.cause = cause_of(scene.obstacles[side.obstacle].kind);
    }
    terms.push_back(term);
  }

 private:
  struct Side {
    double v = -1e300, offset_m = 0.0, at_m = 0.0;
    ObstacleId obstacle = no_obstacle;
  };

  bool detour_is_free(const Side& side, bool left) const {
    const double level = std::max(horizontal_distance_m(path_.a, path_.b), 1e-9);
    const ScenePoint across{-(path_.b.y_m - path_.a.y_m) / level,
                            (path_.b.x_m - path_.a.x_m) / level, 0.0};
    const ScenePoint corner = path_.a + (side.at_m / path_.length_m) * (path_.b - path_.a) +
                              ((left ? 1.0 : -1.0) * (side.offset_m + corner_gap_m)) * across;
    const Transparent wide_only{.blocking = wide_mask, .ignored = own_poles_};
    return caster_.is_clear(path_.a, corner, wide_only) &&
           caster_.is_clear(corner, path_.b, wide_only);
  }

  const RayCaster& caster_;
  const PathProfile& path_;
  Frequency f_;
  std::span<const ObstacleId> own_poles_;
  bool found_ = false;
  double over_ = -1e300;
  Crossing highest_;
  Side left_, right_;
};

void add_screen(const Scene& scene, const PathProfile& path, Frequency f, const Crossing& c,
                std::vector<LossTerm>& terms) {
  const double d1 = std::clamp(c.at_m, 1e-3, std::max(path.length_m - 1e-3, 1e-3));
  const double d2 = std::max(path.length_m - d1, 1e-3);
  terms.push_back({.model = "finite_screen",
                   .source = "ITU-R P.526 section 5.1",
                   .group = TermGroup::diffraction,
                   .loss = finite_screen_loss(f, d1, d2, c.above_m, c.left_m, c.right_m).mean,
                   .cause = cause_of(scene.obstacles[c.obstacle].kind),
                   .obstacle = c.obstacle,
                   .validity = Validity::inside});
}

/// The ray passes all ground and buildings, but one of them reaches into the zone that should be
/// free too. What is narrow costs nothing there in this model.
void add_grazing(const Scene& scene, const PathProfile& path, std::vector<LossTerm>& terms) {
  const Clearance& clearance = path.wide_clearance;
  if (clearance.nearest == no_obstacle || clearance.fresnel_radii < 0.0 ||
      clearance.fresnel_radii >= clear_zone_radii) {
    return;
  }
  const ObstacleKind kind = scene.obstacles[clearance.nearest].kind;
  // v in first-zone radii: h / F1 sqrt(2).
  const Db loss = knife_edge_loss(-std::numbers::sqrt2 * clearance.fresnel_radii);
  terms.push_back({.model = "knife_edge",
                   .source = "ITU-R P.526 section 4.1",
                   .group = TermGroup::diffraction,
                   .loss = loss,
                   .cause = cause_of(kind),
                   .obstacle = clearance.nearest,
                   .validity = Validity::inside});
}

}  // namespace

Sight sight_of(const Scene& scene, const PathProfile& path, double wavelength_m) {
  bool disturbed = false;
  for (const Crossing& c : path.crossings) {
    const ObstacleKind kind = scene.obstacles[c.obstacle].kind;
    disturbed = true;
    if (is_foliage(kind)) continue;
    if (always_wide(kind) || wider_than_zone(path, c, wavelength_m)) return Sight::nlos;
  }
  disturbed = disturbed || path.clearance.fresnel_radii < clear_zone_radii;
  return disturbed ? Sight::olos : Sight::los;
}

void add_obstruction_terms(const RayCaster& caster, const PathProfile& path, Frequency frequency,
                           std::span<const ObstacleId> own_poles, std::vector<LossTerm>& terms) {
  const Scene& scene = caster.scene();
  WideEdge wide(caster, path, frequency, own_poles);
  bool wide_blocks = false;
  for (const Crossing& c : path.crossings) {
    const ObstacleKind kind = scene.obstacles[c.obstacle].kind;
    if (is_foliage(kind)) continue;
    if (always_wide(kind)) {
      wide_blocks = true;
      wide.add(c);
    } else {
      add_screen(scene, path, frequency, c, terms);
    }
  }
  wide.close(scene, terms);
  if (!wide_blocks) add_grazing(scene, path, terms);
}

}  // namespace sim
