// From signal to rate.
#pragma once

#include "sim/base/assets.h"
#include "sim/base/units.h"
#include "sim/scene/scene.h"

namespace sim {

struct LinkResult;
struct LinkSettings;

/// What of a sector's rates no path changes.
struct SectorRates {
  int blocks = 1;                      ///< of a carrier
  Db margin;                           ///< of a real receiver over Shannon
  double downlink_mbps_per_bit = 0.0;  ///< over all blocks and carriers, by bits per element
  double uplink_mbps_per_block_bit = 0.0;
  Db one_block_uplink;  ///< SNR of a phone's whole power in one block over a path without loss
  double backhaul_mbps = 0.0;  ///< 0 = no cap
  double anchor_downlink_mbps = 0.0, anchor_uplink_mbps = 0.0;
};
SectorRates sector_rates(const Sector& sector, const Defaults& defaults);

/// Fills the rates of a link from its SNR and losses: at its predicted level, and one standard
/// deviation of the level below and above it, for nobody knows a rate better than that. Both
/// directions over the same path. Downlink: every carrier of the sector. Uplink: the phone's own
/// power, over as many resource blocks as carry most. Shares of TDD symbols and of the cell, the
/// cap of the backhaul, and the anchor layer as a floor, are those of assets/defaults.csv.
/// Source: TS 38.306 section 4.1.2 with the efficiency of TS 38.214 Table 5.1.3.1-1.
void set_rates(LinkResult& link, const LinkSettings& settings);

}  // namespace sim
