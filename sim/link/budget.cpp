#include <algorithm>
#include <cmath>

#include "sim/link/antenna.h"
#include "sim/link/link.h"
#include "sim/link/obstruction.h"
#include "sim/link/rate.h"
#include "sim/loss/entry.h"
#include "sim/loss/free_space.h"
#include "sim/loss/gas.h"
#include "sim/loss/noise.h"
#include "sim/loss/rain.h"

namespace sim {
namespace {

/// Nearer than this the far-field formulas mean nothing; the distance is held here.
constexpr double nearest_m = 0.1;

double gas_now(Frequency frequency, const Defaults& d) {
  return gas_attenuation_db_per_km(frequency, d("pressure_hpa"), d("temperature_k"),
                                   d("water_vapour_g_m3"));
}

double gas_db_per_km(const LinkSettings& settings, Frequency frequency) {
  for (const auto& [known, attenuation] : settings.gas_db_per_km) {
    if (known == frequency) return attenuation;
  }
  return gas_now(frequency, settings.defaults);
}

void add_enclosure(const Receiver& receiver, Frequency f, const LinkSettings& settings,
                   std::vector<LossTerm>& terms) {
  LossTerm term{.group = TermGroup::penetration, .cause = Cause::enclosure};
  switch (receiver.context) {
    case ReceiverContext::outdoor:
      return;
    case ReceiverContext::in_vehicle:
      term.model = "vehicle_entry";
      term.source = "TR 38.901 section 7.4.3.2";
      term.loss = vehicle_entry_loss(false).loss;
      term.validity = f.ghz() >= 0.6 && f.ghz() <= 60.0 ? Validity::inside : Validity::outside;
      break;
    case ReceiverContext::behind_glass:
      term.model = "glass";
      term.source = "TR 38.901 Table 7.4.3-1";
      term.loss = glass_loss(f);
      break;
    case ReceiverContext::body_blocked:
      term.model = "body";
      term.source = "assets/defaults.csv";
      term.loss = Db(settings.defaults("body_loss_db"));
      term.cause = Cause::body;
      break;
  }
  terms.push_back(term);
}

Angle tilt_of(const std::string& polarization) {
  if (polarization == "horizontal") return Angle::degrees(0.0);
  if (polarization == "slant") return Angle::degrees(45.0);
  return Angle::degrees(90.0);
}

/// What decides. A link that holds: the dearest thing on the way, or the sector's edge where that
/// costs more. One that does not: the dearest of them, if the link would be better off without what
/// stands in the way and at the beam's middle; else plain distance.
void decide_cause(LinkResult& link, const LinkSettings& settings) {
  constexpr Db least_cost{0.5};  // less is no reason for anything
  const LossTerm* dearest = nullptr;
  Db obstruction;
  for (const LossTerm& term : link.terms) {
    const bool stands_in_the_way = term.group == TermGroup::diffraction ||
                                   term.group == TermGroup::foliage ||
                                   term.group == TermGroup::penetration;
    if (!stands_in_the_way || term.loss < least_cost) continue;
    obstruction += term.loss;
    if (dearest == nullptr || term.loss > dearest->loss) dearest = &term;
  }
  const Db pattern_loss = -link.pattern;
  const bool at_edge = pattern_loss.value > settings.defaults("sector_edge_db");
  if (link.state != LinkState::hold) {
    const Dbm better = link.state == LinkState::drop ? settings.drop_rsrp : settings.hold_rsrp;
    const Db avoidable = obstruction + (at_edge ? pattern_loss : Db(0.0));
    if (link.rsrp + avoidable < better) {
      link.cause = Cause::distance;
      return;
    }
  }
  if (at_edge && (dearest == nullptr || pattern_loss > dearest->loss)) {
    link.cause = Cause::sector;
  } else if (dearest != nullptr) {
    link.cause = dearest->cause;
    link.cause_obstacle = dearest->obstacle;
  } else if (link.state != LinkState::hold) {
    link.cause = Cause::distance;
  }
}

/// Probability that a normal spread of `sigma` leaves the level above the threshold.
double probability_above(Db margin, double sigma_db) {
  return 0.5 * std::erfc(-margin.value / (sigma_db * std::numbers::sqrt2));
}

}  // namespace

LinkSettings link_settings(const Scene& scene) {
  const Conditions& conditions = scene.conditions;
  const Defaults& d = conditions.defaults;
  LinkSettings settings{.receiver_gain_dbi = d("receiver_gain_dbi"),
                        .noise_figure_db = d("receiver_noise_figure_db"),
                        .rain_mm_per_h = conditions.rain_mm_per_h,
                        .leaf_on = conditions.leaf_on,
                        .hold_rsrp = Dbm(d("hold_rsrp_dbm")),
                        .drop_rsrp = Dbm(d("drop_rsrp_dbm")),
                        .shadow_sigma_los_db = d("shadow_sigma_los_db"),
                        .shadow_sigma_nlos_db = d("shadow_sigma_nlos_db"),
                        .defaults = d,
                        .gas_db_per_km = {}};
  for (const Node& node : scene.nodes) {
    for (const Sector& sector : node.sectors) {
      const auto known = [&](const auto& pair) { return pair.first == sector.frequency; };
      if (std::none_of(settings.gas_db_per_km.begin(), settings.gas_db_per_km.end(), known)) {
        settings.gas_db_per_km.emplace_back(sector.frequency, gas_now(sector.frequency, d));
      }
    }
  }
  return settings;
}

Dbm noise_level(const LinkSettings& settings) {
  return thermal_noise(1000.0 * settings.defaults("scs_khz"), Db(settings.noise_figure_db));
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
  add_obstruction_terms(caster, traced.path, frequency, node.own_poles, settings, traced.terms);
  add_enclosure(receiver, frequency, settings, traced.terms);
  return traced;
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
  link.pattern = relative_gain(sector, link.azimuth, link.elevation, settings.defaults);
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
  link.received = link.eirp + link.pattern + link.receiver_gain + link.reflection_gain;
  for (const LossTerm& term : link.terms) link.received = link.received - term.loss;
  const Defaults& d = settings.defaults;
  const int blocks = resource_blocks(sector.bandwidth_mhz);
  link.rsrp = link.received - Db(10.0 * std::log10(12.0 * blocks));
  link.snr = link.rsrp - noise_level(settings);
  const Rates rates = rates_of(link, sector, blocks, d);
  link.downlink_mbps = rates.downlink_mbps;
  link.uplink_mbps = rates.uplink_mbps;
  const double sigma =
      link.sight == Sight::los ? settings.shadow_sigma_los_db : settings.shadow_sigma_nlos_db;
  link.p_hold = probability_above(link.rsrp - settings.hold_rsrp, sigma);
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

}  // namespace sim
