#include "sim/link/rate.h"

#include <algorithm>
#include <cmath>

#include "sim/link/antenna.h"
#include "sim/link/link.h"
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

SectorRates sector_rates(const Sector& sector, const Defaults& d) {
  const double scs_khz = d("scs_khz");
  const int blocks = resource_blocks(sector.bandwidth_mhz);
  const Db noise_over_one_mw =
      thermal_noise(12.0 * scs_khz * 1000.0, Db(d("node_noise_figure_db"))) +
      Db(d("uplink_interference_db")) - Dbm(0.0);
  return {.blocks = blocks,
          .margin = Db(d("implementation_margin_db")),
          .downlink_mbps_per_bit =
              sector.carriers * d("downlink_share") * d("cell_share") *
              rate_at_efficiency_mbps(blocks, scs_khz, static_cast<int>(d("downlink_layers")), 1.0,
                                      d("downlink_overhead")),
          .uplink_mbps_per_block_bit =
              d("uplink_carriers") * d("uplink_share") * d("cell_share") *
              rate_at_efficiency_mbps(1, scs_khz, 1, 1.0, d("uplink_overhead")),
          .one_block_uplink = Db(d("terminal_eirp_dbm") - d("terminal_backoff_db")) +
                              node_peak_gain(sector, d) - noise_over_one_mw -
                              Db(10.0 * std::log10(d("uplink_carriers"))),
          .backhaul_mbps = d("backhaul_mbps"),
          .anchor_downlink_mbps = d("anchor_downlink_mbps"),
          .anchor_uplink_mbps = d("anchor_uplink_mbps")};
}

void set_rates(LinkResult& link, const LinkSettings& settings) {
  const SectorRates& rates = settings.rates[link.node][link.sector];
  const Db one_block_snr =
      rates.one_block_uplink + link.pattern - link.path_loss() - link.turned_away;
  // The anchor layer carries on where range 2 gives less.
  const auto held = [&](double mbps, double anchor_mbps) {
    return std::max(rates.backhaul_mbps > 0.0 ? std::min(mbps, rates.backhaul_mbps) : mbps,
                    anchor_mbps);
  };
  const auto at = [&](Db stray, double& downlink_mbps, double& uplink_mbps) {
    downlink_mbps =
        held(rates.downlink_mbps_per_bit * spectral_efficiency(link.snr + stray, rates.margin),
             rates.anchor_downlink_mbps);
    uplink_mbps = held(rates.uplink_mbps_per_block_bit *
                           best_block_efficiency(one_block_snr + stray, rates.margin, rates.blocks),
                       rates.anchor_uplink_mbps);
  };
  at(-link.sigma, link.downlink_low_mbps, link.uplink_low_mbps);
  at(Db(), link.downlink_mbps, link.uplink_mbps);
  at(link.sigma, link.downlink_high_mbps, link.uplink_high_mbps);
}

}  // namespace sim
