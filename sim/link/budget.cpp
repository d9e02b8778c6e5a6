#include <algorithm>
#include <cmath>

#include "sim/link/antenna.h"
#include "sim/link/cause.h"
#include "sim/link/foliage_terms.h"
#include "sim/link/hold.h"
#include "sim/link/link.h"
#include "sim/link/polarization.h"
#include "sim/link/receiver_panel.h"
#include "sim/link/reflections.h"
#include "sim/loss/noise.h"
#include "sim/loss/rain.h"

namespace sim {
namespace {

/// What the phone's panel loses of a direct path by the way it is turned.
Db turned_away(const LinkResult& link, Frequency frequency, const LinkSettings& settings) {
  const Facing& facing = link.receiver.facing ? *link.receiver.facing : settings.facing;
  if (facing.way == Facing::Way::node) return Db(0.0);
  const Arrival node{.azimuth = link.azimuth + Angle::degrees(180.0), .elevation = -link.elevation};
  return -panel_gain(panel_angle(facing, node, node), frequency, settings.defaults);
}

}  // namespace

Dbm noise_level(const LinkSettings& settings) {
  return thermal_noise(1000.0 * settings.scs_khz, Db(settings.noise_figure_db));
}

LinkResult link_on(const Scene& scene, TracedPath traced, std::uint32_t sector_index,
                   const LinkSettings& settings) {
  const Node& node = scene.nodes[traced.node];
  const Sector& sector = node.sectors[sector_index];
  LinkResult link{.node = traced.node,
                  .sector = sector_index,
                  .receiver = traced.receiver,
                  .path = std::move(traced.path),
                  .sight = traced.sight,
                  .eirp = sector.eirp,
                  .receiver_gain = Db(settings.receiver_gain_dbi),
                  .terms = std::move(traced.terms)};
  const ScenePoint a = node.position, b = link.receiver.position;
  link.azimuth = scene.frame.true_azimuth(a, b);
  link.elevation = elevation_angle(a, b);
  link.distance_2d_m = horizontal_distance_m(a, b);
  link.distance_3d_m = distance_m(a, b);
  const SectorGain gain =
      gain_towards(sector, link.azimuth, link.elevation, settings.beams[link.node][sector_index]);
  link.pattern = gain.data;
  link.beam = gain.beam;
  link.beam_points = gain.beam_points;
  link.broadcast = gain.broadcast - gain.data;
  link.beside_beam = gain.others - gain.data;
  link.turned_away = turned_away(link, sector.frequency, settings);
  link.receiver_gain = link.receiver_gain - link.turned_away;
  if (settings.rain_mm_per_h > 0.0) {
    link.terms.push_back(
        {.model = "rain",
         .source = "ITU-R P.838-3",
         .group = TermGroup::gas_rain,
         .loss = Db(rain_attenuation_db_per_km(sector.frequency, settings.rain_mm_per_h,
                                               tilt_of(sector.polarization), link.elevation) *
                    link.distance_3d_m / 1000.0),
         .cause = Cause::distance});
  }
  add_reflections(scene, std::move(traced.reflected), traced.scattered, settings, link);
  link.received = link.eirp + link.pattern + link.receiver_gain + link.reflection_gain;
  for (const LossTerm& term : link.terms) link.received = link.received - term.loss;
  const int blocks = settings.rates[link.node][sector_index].blocks;
  link.per_element = link.received - Db(10.0 * std::log10(12.0 * blocks));
  link.rsrp = link.per_element + link.broadcast;
  link.snr = link.per_element - noise_level(settings);
  measure_foliage_band(link, settings);
  link.sigma = total_sigma(shadowing_sigma(link.sight, settings), link.spread());
  set_rates(link, settings);
  link.p_hold = hold_probability(link.rsrp - settings.hold_rsrp, link.sigma);
  link.state = link.rsrp >= settings.hold_rsrp   ? LinkState::hold
               : link.rsrp >= settings.drop_rsrp ? LinkState::marginal
                                                 : LinkState::drop;
  decide_cause(link, settings);
  return link;
}

Db LinkResult::path_loss() const {
  Db total = -reflection_gain;
  for (const LossTerm& term : terms) total += term.loss;
  return total;
}

Db LinkResult::sum(TermGroup group) const {
  Db total;
  for (const LossTerm& term : terms) {
    if (term.group == group) total += term.loss;
  }
  return total;
}

Db LinkResult::spread() const {
  double squares = 0.0;
  for (const LossTerm& term : terms) squares += term.spread.value * term.spread.value;
  return Db(std::sqrt(squares + foliage_spread_db * foliage_spread_db));
}

}  // namespace sim
