// Leaves on the way.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Loss through dense, dry, in-leaf trees of a temperate climate.
///
///   L = 0.45 f^0.284 d         for d <= 14 m               [dB]
///   L = 1.33 f^0.284 d^0.588   for 14 m < d <= 400 m
///     f  GHz     d  depth of foliage on the path, depth_m, m
///
/// Source:   [WEISSBERGER-82], as its form is seen in public code; not read in the report itself
/// Valid:    0.23-95 GHz (from memory), 0 < d <= 400 m
/// Differs:  nothing; the published formula itself drops by 0.06 dB at 14 m at 28 GHz
Db weissberger_loss(Frequency f, double depth_m) noexcept;

/// Other fitted forms, f in MHz and d in m.
///
///   early ITU   0.2 f^0.3 d^0.6                                                         [dB]
///   FITU-R      0.39 f^0.39 d^0.25 in leaf, 0.37 f^0.18 d^0.59 out of leaf
///   COST 235    15.6 f^-0.009 d^0.26 in leaf, 26.6 f^-0.2 d^0.5 out of leaf
///
/// Source:   [EARLY-ITU-86], [FITU-R-98], [COST235-96]; all formulas from memory
/// Valid:    0.2-95 GHz; 10-40 GHz; 9.6-57.6 GHz (from memory), depths below 400 m
/// Differs:  nothing
Db early_itu_foliage_loss(Frequency f, double depth_m) noexcept;
Db fitu_r_foliage_loss(Frequency f, double depth_m, bool in_leaf) noexcept;
Db cost_235_foliage_loss(Frequency f, double depth_m, bool in_leaf) noexcept;

/// How far the published in-leaf forms lie apart: a foliage loss is a band, not a number.
///
/// Source:   the four forms above
/// Valid:    as they are
/// Differs:  nothing
struct FoliageBand {
  Db least, most;
};
FoliageBand foliage_band(Frequency f, double depth_m) noexcept;

/// What foliage in leaf costs: a low, a middle and a high value, about the 10th, 50th and 90th per
/// cent of trees.
///
///   middle  Weissberger's form; beyond 14 m never less than at 14 m
///   low     low_db_per_m d, never above the middle                                      [dB]
///   high    the early ITU form, which lies above the middle at all depths
///     d  depth of foliage on the path   depth_m   m   >= 0
///
/// A street crown 5 to 8 m through at 28 GHz: 2-3, 6-9 and 11-15 dB. The 5-10 dB measured at 28 GHz
/// behind Manhattan's street trees are the middle; the 10-20 dB told of a single tree in leaf (from
/// memory) reach the high. Fits with narrow beams at both ends through rows of trees and orchards
/// (COST 235, FITU-R, P.833-4) lie higher yet and do not vanish with the depth: a phone in a street
/// sees the gaps too. `foliage_band` has them.
///
/// Source:   [KOHLI-22] 5-10 dB for the middle; [WEISSBERGER-82]; [EARLY-ITU-86]; the choice of the
///           three is our own
/// Valid:    0.23-95 GHz, 0 < d <= 400 m, as its forms
/// Differs:  the middle does not fall by the 0.06 dB by which Weissberger's form drops at 14 m
struct FoliageEstimate {
  Db low, middle, high;
};
FoliageEstimate foliage_estimate(Frequency f, double depth_m, double low_db_per_m) noexcept;

/// Loss of a crown or a wood that lets some of the wave through and some pass round it.
///
///   P = t + (1 - t) s,   loss = -10 log10 P                  [dB]
///     t  share of the power that comes through        through      = 10^(-through / 10)
///     s  share that would pass the same thing opaque  round_share  0..1
///
/// What the leaves take is taken as behind an opaque screen, in power: behind leaves no phase
/// holds. The loss is never above that of the leaves alone, grows with it, and is 0 where they end.
///
/// Source:   our own, no source; its limits are the leaves alone (s = 0) and the opaque screen (t =
/// 0) Valid:    as its parts Differs:  nothing
Db loss_past_foliage(Db through, double round_share) noexcept;

/// Loss that saturates with depth: one terminal inside woodland, the other outside.
///
///   A_ev = A_m (1 - exp(-d gamma / A_m))                     [dB]
///     gamma  specific attenuation of short depths   gamma_db_per_m   dB/m   >= 0
///     A_m    the most it reaches                    most             dB     > 0
///     d      depth of foliage on the path           depth_m          m      >= 0
///
/// Source:   [P.833-10] eq. (1)
/// Valid:    30 MHz-100 GHz as stated; A_m is tabulated only up to 3.6 GHz, so at millimetre waves
///           gamma and A_m are the user's own
/// Differs:  nothing
Db saturating_foliage_loss(double gamma_db_per_m, Db most, double depth_m) noexcept;

/// Attenuation of the first metres of woodland.
///
///   gamma = 0.19 f^1.02                                      [dB/m]
///     f  GHz
///
/// Source:   a third party's fit to the curve of [P.833-10] Figure 2, which prints no table
/// Valid:    30 MHz to about 30 GHz, to 30 %
/// Differs:  nothing
double foliage_specific_attenuation_db_per_m(Frequency f) noexcept;

/// Down from above through a pine wood.
///
///   A = 0.25 f^0.39 d^0.25 theta^0.05                        [dB]
///     f      MHz     d  depth of foliage on the path   depth_m     m         >= 0
///     theta  elevation of the path                     elevation   degrees   > 0
///
/// Source:   [P.833-10] fit of a slant path through pines, from memory
/// Valid:    pine woodland; bands and depths of the fit not known here
/// Differs:  nothing
Db slant_foliage_loss(Frequency f, double depth_m, Angle elevation) noexcept;

/// Steep over the first metres, then gently: loss that depends on how much foliage both beams see.
///
///   A = R_inf d + k (1 - exp(-(R_0 - R_inf) d / k))          [dB]
///   R_0 = a f,   R_inf = b / f^c                             [dB/m]
///   k = k_0 - 10 log10(A_0 (1 - exp(-A_min / A_0)) (1 - exp(-R_f f)))
///     f      GHz     d  depth of foliage on the path   depth_m    m    >= 0
///     A_min  least area that both beams light          area_m2    m2   > 0
///     in leaf      a 0.2,  b 1.27, c 0.63, k_0 6.57, R_f 0.0002, A_0 10
///     out of leaf  a 0.16, b 2.59, c 0.85, k_0 12.6, R_f 2.1,    A_0 10
///
/// Source:   [P.833-4] from memory; one pecan orchard; withdrawn in 2005
/// Valid:    9.6-57.6 GHz; a sanity band only
/// Differs:  nothing
Db dual_slope_foliage_loss(Frequency f, double depth_m, double area_m2, bool in_leaf) noexcept;

}  // namespace sim
