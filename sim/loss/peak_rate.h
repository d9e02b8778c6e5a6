// What a carrier can carry.
#pragma once

namespace sim {

/// Peak data rate of one carrier in one direction, all symbols used.
///
///   rate = 1e-6 v Q f R_max (N_PRB 12 / T_s) (1 - OH)        [Mbit/s]
///     v      layers;  Q  bits per symbol;  f  scaling;  R_max = 948/1024
///     T_s    1e-3 / (14 2^mu) s, mu from the subcarrier spacing 15 2^mu kHz
///
/// Source:   [TS38.306] section 4.1.2; the equation itself from memory
/// Valid:    NR numerologies
/// Differs:  nothing; the share of downlink symbols is not included
double peak_rate_mbps(int n_rb, double scs_khz, int layers, double bits_per_symbol, double scaling,
                      double overhead) noexcept;

/// Data rate at a spectral efficiency (bits per resource element) instead of the peak.
/// Source:   [TS38.306] section 4.1.2 with Q R_max replaced
/// Valid:    NR numerologies
/// Differs:  see above
double rate_at_efficiency_mbps(int n_rb, double scs_khz, int layers, double bits_per_element,
                               double overhead) noexcept;

}  // namespace sim
