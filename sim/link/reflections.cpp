#include "sim/link/reflections.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/cast/mirror_paths.h"
#include "sim/link/antenna.h"
#include "sim/link/foliage_terms.h"
#include "sim/link/mirror_surfaces.h"
#include "sim/link/obstruction.h"
#include "sim/link/polarization.h"
#include "sim/link/receiver_panel.h"
#include "sim/loss/free_space.h"
#include "sim/loss/rain.h"

namespace sim {
namespace {

using Complex = std::complex<double>;

ScenePoint unit(ScenePoint v) { return (1.0 / std::sqrt(dot(v, v))) * v; }

/// Adds what stands on one leg; the faces at its ends do not stand in its way.
void add_leg(const RayCaster& caster, ScenePoint a, ScenePoint b, Frequency f,
             std::span<const ObstacleId> ignored, const LinkSettings& settings,
             std::vector<LossTerm>& terms) {
  const Transparent through{.blocking = everything_mask, .ignored = ignored};
  const PathProfile path = caster.profile(a, b, f.wavelength_m(), through);
  add_obstruction_terms({caster, path, f, ignored, settings.sway_m}, terms);
  add_foliage(caster, path, f, ignored, settings, terms);
}

void price_legs(const RayCaster& caster, const Node& node, ScenePoint to, Frequency f,
                const LinkSettings& settings, ReflectedPath& path) {
  std::vector<LossTerm> terms;
  ScenePoint start = node.position;
  std::vector<ObstacleId> ignored = node.own_poles;
  for (std::size_t k = 0; k <= path.bounces.size(); ++k) {
    const bool last = k == path.bounces.size();
    const ScenePoint end = last ? to : path.bounces[k].at;
    if (!last) ignored.push_back(path.bounces[k].obstacle);
    add_leg(caster, start, end, f, ignored, settings, terms);
    if (!last) ignored = {path.bounces[k].obstacle};
    start = end;
  }
  Db most;
  for (const LossTerm& term : terms) {
    (term.group == TermGroup::foliage ? path.foliage : path.obstruction) += term.loss;
    if (term.loss > most) {
      most = term.loss;
      path.dearest = term.obstacle;
    }
  }
}

/// The field's direction as it leaves: in the vertical plane of the ray, level, or between them.
ScenePoint launched(ScenePoint ray, const std::string& polarization) {
  const ScenePoint level_axis{-ray.y_m, ray.x_m, 0.0};
  const ScenePoint level =
      dot(level_axis, level_axis) > 1e-18 ? unit(level_axis) : ScenePoint{1.0, 0.0, 0.0};
  const double tilt = tilt_of(polarization).radians();
  return std::cos(tilt) * level + std::sin(tilt) * cross(ray, level);
}

}  // namespace

Db bounce_loss(const std::vector<Bounce>& bounces, ScenePoint from, ScenePoint to,
               const std::string& polarization) {
  if (bounces.empty()) return Db(0.0);
  ScenePoint ray = unit(bounces[0].at - from);
  const ScenePoint field = launched(ray, polarization);
  std::array<Complex, 3> e{field.x_m, field.y_m, field.z_m};
  const auto along = [&](ScenePoint axis) {
    return e[0] * axis.x_m + e[1] * axis.y_m + e[2] * axis.z_m;
  };
  for (std::size_t k = 0; k < bounces.size(); ++k) {
    const Bounce& b = bounces[k];
    const ScenePoint across = cross(ray, b.normal);
    const ScenePoint te =
        dot(across, across) > 1e-18 ? unit(across) : unit(launched(b.normal, "horizontal"));
    const ScenePoint tm_in = cross(te, ray);
    const ScenePoint next = k + 1 < bounces.size() ? bounces[k + 1].at : to;
    ray = unit(next - b.at);
    const ScenePoint tm_out = cross(te, ray);
    const Complex te_part = b.te * along(te), tm_part = b.tm * along(tm_in);
    e = {te_part * te.x_m + tm_part * tm_out.x_m, te_part * te.y_m + tm_part * tm_out.y_m,
         te_part * te.z_m + tm_part * tm_out.z_m};
  }
  constexpr double least_share = 1e-20;  // a wave at Brewster's angle: 200 dB, and a finite number
  const double share = std::norm(e[0]) + std::norm(e[1]) + std::norm(e[2]);
  return Db(std::max(0.0, -10.0 * std::log10(std::max(share, least_share))));
}

std::vector<ReflectedPath> trace_reflections(const RayCaster& caster, NodeIndex node_index,
                                             Frequency f, const Receiver& receiver,
                                             const LinkSettings& settings) {
  std::vector<ReflectedPath> paths;
  if (!settings.mirrors) return paths;
  const Scene& scene = caster.scene();
  const Node& node = scene.nodes[node_index];
  const ScenePoint to = receiver.position;
  const auto mirrored = settings.mirrors->find(caster, node_index, to);
  if (mirrored.empty()) return paths;
  const MirrorSurfaces surfaces(scene, f, settings);
  const double gas = gas_db_per_km(settings, f);
  for (const MirrorPath& mirror : mirrored) {
    ReflectedPath path{.bounces = {}, .length_m = mirror.length_m};
    ScenePoint before = node.position;
    for (const MirrorPoint& p : mirror.bounces) {
      const ReflectingFace& face = settings.mirrors->faces()[p.face];
      const double cosine = -dot(unit(p.at - before), face.normal);
      Bounce bounce{.at = p.at,
                    .normal = face.normal,
                    .obstacle = face.obstacle,
                    .incidence = Angle::radians(std::acos(std::clamp(cosine, 0.0, 1.0)))};
      surfaces.set_coefficients(face, bounce);
      path.bounces.push_back(bounce);
      before = p.at;
    }
    const ScenePoint first = path.bounces.front().at, last = path.bounces.back().at;
    path.azimuth = scene.frame.true_azimuth(node.position, first);
    path.elevation = elevation_angle(node.position, first);
    path.arrival_azimuth = scene.frame.true_azimuth(to, last);
    path.arrival_elevation = elevation_angle(to, last);
    path.free_space = free_space_loss(f, path.length_m);
    path.gas = Db(gas * path.length_m / 1000.0);
    price_legs(caster, node, to, f, settings, path);
    paths.push_back(std::move(path));
  }
  return paths;
}

void add_reflections(const Scene& scene, std::vector<ReflectedPath> paths,
                     const std::vector<ScatteredPath>& scattered, const LinkSettings& settings,
                     LinkResult& link) {
  const Node& node = scene.nodes[link.node];
  const Sector& sector = node.sectors[link.sector];
  link.arrival_azimuth = scene.frame.true_azimuth(link.receiver.position, node.position);
  link.arrival_elevation = -link.elevation;
  if (paths.empty() && scattered.empty()) return;
  Db direct = link.pattern, enclosure;
  for (const LossTerm& term : link.terms) {
    direct += -term.loss;
    if (term.group == TermGroup::penetration) enclosure += term.loss;
  }
  const Facing& facing = link.receiver.facing ? *link.receiver.facing : settings.facing;
  const Arrival node_arrival{link.arrival_azimuth, link.arrival_elevation};
  double sum = 1.0, strongest = 1.0;
  for (ReflectedPath& path : paths) {
    path.pattern =
        gain_towards(sector, path.azimuth, path.elevation, settings.beams[link.node][link.sector])
            .data;
    path.bounce =
        bounce_loss(path.bounces, node.position, link.receiver.position, sector.polarization);
    if (settings.rain_mm_per_h > 0.0) {
      path.rain = Db(rain_attenuation_db_per_km(sector.frequency, settings.rain_mm_per_h,
                                                tilt_of(sector.polarization), path.elevation) *
                     path.length_m / 1000.0);
    }
    path.loss = path.free_space + path.gas + path.rain + path.obstruction + path.foliage +
                path.bounce + enclosure;
    // The phone's panel may look towards the mirror rather than the node.
    const Arrival arrival{path.arrival_azimuth, path.arrival_elevation};
    const Db turned = link.turned_away + panel_gain(panel_angle(facing, node_arrival, arrival),
                                                    sector.frequency, settings.defaults);
    const double share = (path.pattern + turned - path.loss - direct).power_ratio();
    sum += share;
    if (share > strongest) {
      strongest = share;
      link.strongest_reflection = static_cast<int>(&path - paths.data());
      link.arrival_azimuth = path.arrival_azimuth;
      link.arrival_elevation = path.arrival_elevation;
    }
  }
  double scatter = 0.0;
  const ScenePoint to = link.receiver.position;
  for (const ScatteredPath& path : scattered) {
    const Db pattern =
        gain_towards(sector, path.azimuth, path.elevation, settings.beams[link.node][link.sector])
            .data;
    Db rain;
    if (settings.rain_mm_per_h > 0.0) {
      rain = Db(rain_attenuation_db_per_km(sector.frequency, settings.rain_mm_per_h,
                                           tilt_of(sector.polarization), path.elevation) *
                (distance_m(node.position, path.at) + distance_m(path.at, to)) / 1000.0);
    }
    const Arrival arrival{scene.frame.true_azimuth(to, path.at), elevation_angle(to, path.at)};
    const Db turned = link.turned_away + panel_gain(panel_angle(facing, node_arrival, arrival),
                                                    sector.frequency, settings.defaults);
    const double share = (pattern + turned - path.loss - rain - enclosure - direct).power_ratio();
    scatter += share;
    if (share > strongest) {
      strongest = share;
      link.arrival_azimuth = arrival.azimuth;
      link.arrival_elevation = arrival.elevation;
    }
  }
  link.scattered = Db::from_power_ratio(1.0 + scatter / sum);
  link.reflection_gain = Db::from_power_ratio(sum + scatter);
  link.reflected = std::move(paths);
}

bool served_by_walls(const LinkResult& link) {
  const double all = link.reflection_gain.power_ratio();  // the straight way: 1
  return link.strongest_reflection >= 0 || all - all / link.scattered.power_ratio() > 1.0;
}

}  // namespace sim
