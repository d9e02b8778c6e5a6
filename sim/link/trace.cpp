#include <algorithm>
#include <cmath>

#include "sim/link/enclosure.h"
#include "sim/link/facade_scatter.h"
#include "sim/link/foliage_terms.h"
#include "sim/link/link.h"
#include "sim/link/obstruction.h"
#include "sim/link/reflections.h"
#include "sim/loss/free_space.h"
#include "sim/loss/gas.h"

namespace sim {
namespace {

/// Nearer than this the far-field formulas mean nothing; the distance is held here.
constexpr double nearest_m = 0.1;

double gas_now(Frequency frequency, const Defaults& d) {
  return gas_attenuation_db_per_km(frequency, d("pressure_hpa"), d("temperature_k"),
                                   d("water_vapour_g_m3"));
}

}  // namespace

double gas_db_per_km(const LinkSettings& settings, Frequency frequency) {
  for (const auto& [known, attenuation] : settings.gas_db_per_km) {
    if (known == frequency) return attenuation;
  }
  return gas_now(frequency, settings.defaults);
}

LinkSettings link_settings(const Scene& scene) {
  const Conditions& conditions = scene.conditions;
  const Defaults& d = conditions.defaults;
  LinkSettings settings{.receiver_gain_dbi = d("receiver_gain_dbi"),
                        .noise_figure_db = d("receiver_noise_figure_db"),
                        .rain_mm_per_h = conditions.rain_mm_per_h,
                        .facing = conditions.facing,
                        .housing = conditions.housing,
                        .beams = {},
                        .rates = {},
                        .leaf_on = conditions.leaf_on,
                        .sway_m = d("receiver_sway_m"),
                        .hold_rsrp = Dbm(d("hold_rsrp_dbm")),
                        .drop_rsrp = Dbm(d("drop_rsrp_dbm")),
                        .shadow_sigma_los_db = d("shadow_sigma_los_db"),
                        .shadow_sigma_nlos_db = d("shadow_sigma_nlos_db"),
                        .scs_khz = d("scs_khz"),
                        .sector_edge_db = d("sector_edge_db"),
                        .foliage_band_sigmas = d("foliage_band_sigmas"),
                        .defaults = d,
                        .gas_db_per_km = {},
                        .mirrors = {}};
  if (const int order = static_cast<int>(d("reflections")); order > 0) {
    settings.mirrors = std::make_shared<const MirrorPaths>(
        scene, MirrorLimits{.order = order, .longest_m = d("reflection_longest_m")});
  }
  for (const Node& node : scene.nodes) {
    auto& beams = settings.beams.emplace_back();
    auto& rates = settings.rates.emplace_back();
    for (const Sector& sector : node.sectors) {
      beams.push_back(sector_beams(sector, d));
      rates.push_back(sector_rates(sector, d));
      const auto known = [&](const auto& pair) { return pair.first == sector.frequency; };
      if (std::none_of(settings.gas_db_per_km.begin(), settings.gas_db_per_km.end(), known)) {
        settings.gas_db_per_km.emplace_back(sector.frequency, gas_now(sector.frequency, d));
      }
    }
  }
  return settings;
}

TracedPath trace_path(const RayCaster& caster, NodeIndex node_index, Frequency frequency,
                      const Receiver& receiver, const LinkSettings& settings) {
  const Scene& scene = caster.scene();
  const Node& node = scene.nodes[node_index];
  const Transparent through{.blocking = everything_mask, .ignored = node.own_poles};
  TracedPath traced{.node = node_index, .receiver = receiver};
  traced.path = caster.profile(node.position, receiver.position, frequency.wavelength_m(), through);
  traced.sight = sight_of(scene, traced.path, frequency.wavelength_m());
  const double length = std::max(traced.path.length_m, nearest_m);
  traced.terms.reserve(8);  // more only where trees stand in a row
  traced.terms.push_back({.model = "free_space",
                          .source = "ITU-R P.525",
                          .group = TermGroup::free_space,
                          .loss = free_space_loss(frequency, length),
                          .cause = Cause::distance});
  const double gas = gas_db_per_km(settings, frequency);
  traced.terms.push_back({.model = "gas",
                          .source = "ITU-R P.676-13 Annex 1",
                          .group = TermGroup::gas_rain,
                          .loss = Db(gas * length / 1000.0),
                          .cause = Cause::distance});
  add_obstruction_terms({caster, traced.path, frequency, node.own_poles, settings.sway_m},
                        traced.terms);
  add_foliage(caster, traced.path, frequency, node.own_poles, settings, traced.terms);
  Db direct;
  for (const LossTerm& term : traced.terms) direct += term.loss;
  if (receiver.context != ReceiverContext::outdoor || settings.housing.hand_over_panel) {
    add_enclosure(receiver, frequency, elevation_angle(receiver.position, node.position), settings,
                  traced.terms);
  }
  traced.reflected = trace_reflections(caster, node_index, frequency, receiver, settings);
  traced.scattered =
      trace_scatter(caster, node_index, frequency, receiver.position, direct, settings);
  return traced;
}

}  // namespace sim
