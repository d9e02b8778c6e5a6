// What the other sectors of the street do to one receiver.
#pragma once

#include <span>

#include "sim/link/link.h"

namespace sim {

/// Turns the SNR of every link of one receiver into the ratio to noise and interference, and its
/// rates with it. `links` holds the links of all sectors that reach the receiver.
///
///   SINR_i = S_i / (N + load sum_j I_j)          per resource element, j on the same band as i
///     I_j    level of sector j through its mean beam, for it serves others, and through the
///            phone's panel as it is turned for link i
///     load   neighbour_load of assets/defaults.csv: the share of time and band it sends
///
/// A link alone on its band keeps its SNR to the bit. Source: common practice, no source.
void add_interference(const Scene& scene, std::span<LinkResult> links,
                      const LinkSettings& settings);

}  // namespace sim
