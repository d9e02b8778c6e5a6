// Getting into a car or a building.
#pragma once

#include "sim/base/units.h"

namespace sim {

struct EntryLoss {
  Db loss;   ///< median
  Db sigma;  ///< standard deviation of the normal spread in dB
};

/// Median 9 dB, or 20 dB behind metallised windows; sigma 5 dB.
/// Source:   [TR38.901] section 7.4.3.2
/// Valid:    0.6-60 GHz
/// Differs:  nothing
EntryLoss vehicle_entry_loss(bool metallised_windows) noexcept;

/// One pane of standard multi-pane glass: 2 + 0.2 f dB, f in GHz.
/// Source:   [TR38.901] Table 7.4.3-1
/// Valid:    0.5-100 GHz (scope of the document)
/// Differs:  nothing
Db glass_loss(Frequency f) noexcept;

/// Coated (infrared-reflecting) glass: 25.4 + 0.11 f dB since release 19, 23 + 0.3 f before.
/// Source:   [TR38.901] Table 7.4.3-1; the older row from memory
/// Valid:    0.5-100 GHz
/// Differs:  nothing
Db coated_glass_loss(Frequency f, int release) noexcept;

/// Concrete: 5 + 4 f dB; wood: 4.85 + 0.12 f dB; plywood, since release 19: 1.03 + 0.17 f dB.
/// Source:   [TR38.901] Table 7.4.3-1
/// Valid:    0.5-100 GHz
/// Differs:  nothing
Db concrete_loss(Frequency f) noexcept;
Db wood_loss(Frequency f) noexcept;
Db plywood_loss(Frequency f) noexcept;

/// Outer wall of glass and concrete, low-loss or high-loss.
///
///   low   5 - 10 log10(0.3 10^(-L_glass/10) + 0.7 10^(-L_concrete/10)),  sigma 4.4
///   high  5 - 10 log10(0.7 10^(-L_coated/10) + 0.3 10^(-L_concrete/10)), sigma 6.5
///
/// Source:   [TR38.901] Table 7.4.3-2
/// Valid:    0.5-100 GHz
/// Differs:  nothing; the depth indoors is not included
EntryLoss facade_entry_loss(Frequency f, bool high_loss, int release) noexcept;

/// Outer wall of glass and plywood, the low-loss model A of release 19:
/// 5 - 10 log10(0.3 10^(-L_glass/10) + 0.7 10^(-L_plywood/10)), sigma 4.4.
///
/// Source:   [TR38.901] Table 7.4.3-2, suburban
/// Valid:    0.5-100 GHz
/// Differs:  nothing; the depth indoors is not included
EntryLoss plywood_facade_entry_loss(Frequency f) noexcept;

/// Loss into a building of unknown make that is not exceeded with a probability.
///
///   L   = 10 log10(10^(0.1 A) + 10^(0.1 B) + 10^(-0.3))     [dB]
///   A   = mu1 + sigma1 Phi^-1(P),  B = mu2 + sigma2 Phi^-1(P)
///   mu1 = r + s log10 f + t (log10 f)^2 + 0.212 |theta|,  mu2 = w + x log10 f
///   sigma1 = u + v log10 f,  sigma2 = y + z log10 f
///     f      frequency                                  GHz
///     theta  elevation of the path at the facade        degrees
///     P      probability that the loss is not exceeded  probability   0 < P < 1
///
/// Source:   [P.2109] coefficients of traditional and thermally efficient buildings
/// Valid:    0.08-100 GHz
/// Differs:  nothing
Db building_entry_loss(Frequency f, bool thermally_efficient, Angle elevation,
                       double probability) noexcept;

}  // namespace sim
