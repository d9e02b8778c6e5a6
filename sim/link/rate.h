// From signal to rate.
#pragma once

#include "sim/link/link.h"

namespace sim {

struct Rates {
  double downlink_mbps = 0.0, uplink_mbps = 0.0;
};

/// What a link gives: at its predicted level, and one standard deviation of the level below and
/// above it. Nobody knows a rate better than that.
struct RateRange {
  Rates low, expected, high;
};

/// Both directions of a link whose SNR and losses are known, over the same path. Downlink: every
/// carrier of the sector. Uplink: the phone's own power, over as many resource blocks as carry
/// most. Shares of TDD symbols and of the cell, the cap of the backhaul, and the anchor layer as a
/// floor, are those of assets/defaults.csv. Source: TS 38.306 section 4.1.2 with the efficiency of
/// TS 38.214 Table 5.1.3.1-1.
RateRange rates_of(const LinkResult& link, const Sector& sector, int resource_blocks, Db sigma,
                   const Defaults& defaults);

/// Fills the rates of a link from its SNR, losses and sigma.
void set_rates(LinkResult& link, const Sector& sector, const Defaults& defaults);

}  // namespace sim
