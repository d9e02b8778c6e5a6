#include "sim/link/rate.h"

#include <algorithm>
#include <cmath>

#include "sim/link/antenna.h"
#include "sim/link/modulation.h"
#include "sim/loss/element_pattern.h"
#include "sim/loss/noise.h"
#include "sim/loss/peak_rate.h"

namespace sim {
namespace {

/// The node's antenna towards the phone. A panel steers its beam: its peak is the array's, whatever
/// envelope the sector names.
Db node_peak_gain(const Sector& sector, const Defaults& d) {
  if (sector.table) return Db(table_peak_dbi(*sector.table));
  if (sector.pattern == "isotropic") return Db(0.0);
  return array_pattern_gain(Angle(), Angle(), static_cast<int>(d("array_rows")),
                            static_cast<int>(d("array_cols")));
}

}  // namespace

RateRange rates_of(const LinkResult& link, const Sector& sector, int blocks, Db sigma,
                   const Defaults& d) {
  const double scs_khz = d("scs_khz");
  const Db margin(d("implementation_margin_db"));
  const double backhaul_mbps = d("backhaul_mbps");
  const double downlink_per_bit =
      sector.carriers * d("downlink_share") * d("cell_share") *
      rate_at_efficiency_mbps(blocks, scs_khz, static_cast<int>(d("downlink_layers")), 1.0,
                              d("downlink_overhead"));
  const double uplink_per_block_bit =
      d("uplink_carriers") * d("uplink_share") * d("cell_share") *
      rate_at_efficiency_mbps(1, scs_khz, 1, 1.0, d("uplink_overhead"));
  const Dbm arriving = Dbm(d("terminal_eirp_dbm")) - Db(d("terminal_backoff_db")) +
                       node_peak_gain(sector, d) + link.pattern - link.path_loss() -
                       link.turned_away;
  const Dbm noise = thermal_noise(12.0 * scs_khz * 1000.0, Db(d("node_noise_figure_db"))) +
                    Db(d("uplink_interference_db"));
  const Db one_block_snr = arriving - noise - Db(10.0 * std::log10(d("uplink_carriers")));
  const auto at = [&](Db stray) {
    Rates rates{.downlink_mbps = downlink_per_bit * spectral_efficiency(link.snr + stray, margin),
                .uplink_mbps = uplink_per_block_bit *
                               best_block_efficiency(one_block_snr + stray, margin, blocks)};
    if (backhaul_mbps > 0.0) {
      rates.downlink_mbps = std::min(rates.downlink_mbps, backhaul_mbps);
      rates.uplink_mbps = std::min(rates.uplink_mbps, backhaul_mbps);
    }
    // The anchor layer carries on where range 2 gives less.
    rates.downlink_mbps = std::max(rates.downlink_mbps, d("anchor_downlink_mbps"));
    rates.uplink_mbps = std::max(rates.uplink_mbps, d("anchor_uplink_mbps"));
    return rates;
  };
  return {.low = at(-sigma), .expected = at(Db()), .high = at(sigma)};
}

void set_rates(LinkResult& link, const Sector& sector, const Defaults& defaults) {
  const RateRange rates =
      rates_of(link, sector, resource_blocks(sector.bandwidth_mhz), link.sigma, defaults);
  link.downlink_mbps = rates.expected.downlink_mbps;
  link.uplink_mbps = rates.expected.uplink_mbps;
  link.downlink_low_mbps = rates.low.downlink_mbps;
  link.downlink_high_mbps = rates.high.downlink_mbps;
  link.uplink_low_mbps = rates.low.uplink_mbps;
  link.uplink_high_mbps = rates.high.uplink_mbps;
}

}  // namespace sim
