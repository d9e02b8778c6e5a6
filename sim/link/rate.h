// From signal to rate.
#pragma once

#include "sim/link/link.h"

namespace sim {

/// Bits per resource element that a link at this SNR can use: the best row of the CQI table whose
/// Shannon limit, plus the margin of a real receiver, lies below the SNR. 0 when none does.
/// Source: TS 38.214 Table 5.2.2.1-2; margin in assets/defaults.csv.
double spectral_efficiency(Db snr, Db margin) noexcept;

struct Rates {
  double downlink_mbps = 0.0, uplink_mbps = 0.0;
};

/// Both directions of a link whose SNR and losses are known; uplink over the same path, by the
/// terminal's power. Source: TS 38.306 section 4.1.2 with the efficiency above.
Rates rates_of(const LinkResult& link, const Sector& sector, int resource_blocks,
               const Defaults& defaults);

}  // namespace sim
