// Thermal noise and resource blocks.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Noise in a bandwidth: kTB with -174 dBm/Hz, plus the receiver's noise figure.
///
///   N = -174 + 10 log10(B) + F                              [dBm], B in Hz
///
/// Source:   kTB; -174 is the usual rounding of -173.975 at 290 K (Boltzmann constant, SI)
/// Valid:    B > 0
/// Differs:  nothing
Dbm thermal_noise(double bandwidth_hz, Db noise_figure) noexcept;

/// Resource blocks of an FR2 carrier at 120 kHz: 32, 66, 132, 264 for 50, 100, 200, 400 MHz; for
/// other widths the share of 66 per 100 MHz.
///
/// Source:   [TS38.101-2] Table 5.3.2-1
/// Valid:    50-400 MHz
/// Differs:  interpolated elsewhere
int resource_blocks(double bandwidth_mhz) noexcept;

/// Least guard band at either edge of a carrier.
///
///   guard = (1000 B - 12 n SCS) / 2 - SCS / 2                [kHz]
///     B    channel bandwidth    bandwidth_mhz   MHz
///     n    resource blocks      n_rb
///     SCS  subcarrier spacing   scs_khz         kHz
///
/// Source:   a closed form that gives every guard band printed in [TS38.101-2] for 60 and 120 kHz
/// Valid:    blocks that fit into the channel
/// Differs:  nothing
double guard_band_khz(double bandwidth_mhz, int n_rb, double scs_khz) noexcept;

}  // namespace sim
