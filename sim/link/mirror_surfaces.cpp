#include "sim/link/mirror_surfaces.h"

#include <cmath>

#include "sim/loss/facade.h"
#include "sim/loss/material.h"

namespace sim {

MirrorSurfaces::MirrorSurfaces(const Scene& scene, Frequency f, const LinkSettings& settings)
    : scene_(scene),
      f_(f),
      glass_(material_properties(*find_material("glass", f), f).eta),
      settings_(settings) {}

void MirrorSurfaces::set_coefficients(const ReflectingFace& face, Bounce& bounce) const {
  const Obstacle& obstacle = scene_.obstacles[face.obstacle];
  const Material& m = scene_.materials[obstacle.material];
  const MaterialCurve curve{m.name, m.a, m.b, m.c, m.d, m.min_ghz, m.max_ghz};
  WindowedWall facade{.wall = material_properties(curve, f_).eta, .glass = glass_};
  const bool upright = std::abs(face.normal.z_m) < 0.5;
  if (face.kind == ObstacleKind::building) {
    facade.wall_rms_height_m = 1e-3 * settings_.defaults("facade_roughness_mm");
    if (upright && m.name != "metal" && m.name != "glass") {
      facade.glass_share = settings_.defaults("facade_glass_share");
      facade.glass_thickness_m = 1e-3 * settings_.defaults("facade_glass_mm");
    }
  } else if (face.kind == ObstacleKind::ground) {
    facade.wall_rms_height_m = 1e-3 * settings_.defaults("ground_roughness_mm");
  }
  bounce.te = facade_reflection(facade, f_, bounce.incidence, WavePolarization::te).coefficient;
  bounce.tm = facade_reflection(facade, f_, bounce.incidence, WavePolarization::tm).coefficient;
}

double MirrorSurfaces::power_share(const ReflectingFace& face, Angle incidence) const {
  Bounce bounce{.incidence = incidence};
  set_coefficients(face, bounce);
  return 0.5 * (std::norm(bounce.te) + std::norm(bounce.tm));
}

}  // namespace sim
