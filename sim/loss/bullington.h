// Terrain between two antennas, as a profile.
#pragma once

#include <vector>

#include "sim/base/units.h"

namespace sim {

/// Terrain from transmitter to receiver. `clutter_m` stands on the ground and counts for the
/// obstruction, not for the smooth surface; empty or one value for each point.
struct TerrainProfile {
  std::vector<double> d_km;  ///< rising from 0
  std::vector<double> h_m;   ///< ground above sea level
  std::vector<double> clutter_m;
  double top_m(std::size_t i) const { return clutter_m.empty() ? h_m[i] : h_m[i] + clutter_m[i]; }
};

struct BullingtonLoss {
  Db knife;  ///< loss of the equivalent edge alone
  Db loss;   ///< with the correction for terrain
};

/// Loss of a profile by the one edge where the two horizon lines meet.
///
///   S_tim = max[ (h_i + 500 C d_i (d - d_i) - h_ts) / d_i ],   S_tr = (h_rs - h_ts) / d
///   S_tim < S_tr:  v = max of v_i over the points
///   else           S_rim = max[ (h_i + 500 C d_i (d - d_i) - h_rs) / (d - d_i) ],
///                  the edge at d_b = (h_rs - h_ts + S_rim d) / (S_tim + S_rim)
///   v = [height above the direct line] sqrt( 0.002 d / (lambda d_i (d - d_i)) )
///   L = J(v) + (1 - exp(-J(v) / 6)) (10 + 0.02 d)            [dB]
///     h_ts, h_rs  antennas above sea level   h_ts_m, h_rs_m       m
///     C           1 / effective radius       effective_radius_km  km
///
/// Source:   [P.526] section 4.5 = [P.452-18] section 4.2.1
/// Valid:    terrain profiles; the correction is no edge's own (10 dB even at 100 m), so a single
///           building or person is not to be taken through it
/// Differs:  a profile without a point between its ends costs 0 dB; points on the ends are skipped
BullingtonLoss bullington_loss(Frequency f, const TerrainProfile& profile, double h_ts_m,
                               double h_rs_m, double effective_radius_km) noexcept;

struct DeltaBullingtonLoss {
  Db bullington;  ///< L_bulla, the actual profile
  Db smooth;      ///< L_bulls, the smooth one
  Db sphere;      ///< L_dsph, the smooth Earth
  Db loss;
};

/// The complete delta-Bullington method: the profile, and what the curved smooth Earth adds.
///
///   L = L_bulla + max(L_dsph - L_bulls, 0)                   [dB]
///
/// with the smooth surface fitted to the ground and lowered where obstacles reach above the direct
/// line.
///
/// Source:   [P.526] section 4.5 = [P.452-18] sections 4.2.1-4.2.3; the fit of the smooth surface
///           from memory, checked against the validation examples of ITU-R Study Group 3
/// Valid:    terrain profiles of at least one point between the ends
/// Differs:  the exact speed of light, where [P.452-18] rounds lambda to 0.2998 / f
DeltaBullingtonLoss delta_bullington_loss(Frequency f, const TerrainProfile& profile,
                                          double h_tx_agl_m, double h_rx_agl_m,
                                          double effective_radius_km, bool vertical_polarization,
                                          bool over_sea) noexcept;

}  // namespace sim
