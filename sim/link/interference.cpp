#include "sim/link/interference.h"

#include <cmath>

#include "sim/link/receiver_panel.h"
#include "sim/loss/noise.h"

namespace sim {
namespace {

bool share_a_band(const Sector& a, const Sector& b) {
  const double apart_mhz = std::abs(a.frequency.mhz() - b.frequency.mhz());
  return apart_mhz < 0.5 * (a.bandwidth_mhz * a.carriers + b.bandwidth_mhz * b.carriers);
}

double milliwatts(Dbm level) { return std::pow(10.0, level.value / 10.0); }

Arrival from_node(const LinkResult& link) {
  return {.azimuth = link.azimuth + Angle::degrees(180.0), .elevation = -link.elevation};
}

/// Level of another sector's mean beam at a phone whose panel is turned as for `link`.
Dbm disturbing(const LinkResult& link, const LinkResult& other, Frequency frequency,
               const LinkSettings& settings) {
  const Dbm level = other.per_element + other.beside_beam;
  if (other.node == link.node) return level;
  const Facing& facing = link.receiver.facing ? *link.receiver.facing : settings.facing;
  const Angle off = panel_angle(facing, from_node(link), from_node(other));
  return level + other.turned_away + panel_gain(off, frequency, settings.defaults);
}

}  // namespace

void add_interference(const Scene& scene, std::span<LinkResult> links,
                      const LinkSettings& settings) {
  const double load = settings.defaults("neighbour_load");
  if (load <= 0.0 || links.size() < 2) return;
  const auto sector_of = [&](const LinkResult& link) -> const Sector& {
    return scene.nodes[link.node].sectors[link.sector];
  };
  const Dbm noise = noise_level(settings);
  for (LinkResult& link : links) {
    const Sector& own = sector_of(link);
    double others = 0.0;
    for (const LinkResult& other : links) {
      if (&other == &link || !share_a_band(own, sector_of(other))) continue;
      others += milliwatts(disturbing(link, other, own.frequency, settings));
    }
    if (others <= 0.0) continue;
    link.interference = Db::from_power_ratio(1.0 + load * others / milliwatts(noise));
    link.snr = link.per_element - noise - link.interference;
    set_rates(link, settings);
  }
}

}  // namespace sim
