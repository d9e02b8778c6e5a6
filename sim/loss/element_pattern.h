// How a sector's antenna favours directions.
#pragma once

#include "sim/base/units.h"

namespace sim {

inline constexpr double element_peak_dbi = 8.0;  // [TR38.901] Table 7.3-1

/// Gain of one antenna element towards a direction, measured from its boresight.
///
///   A_V = -min(12 (elevation / 65)^2, 30),  A_H = -min(12 (azimuth / 65)^2, 30)
///   gain = 8 - min(-(A_V + A_H), 30)                        [dBi], angles in degrees
///
/// Source:   [TR38.901] section 7.3, Table 7.3-1
/// Valid:    every direction
/// Differs:  nothing; elevation is 90 degrees minus the document's zenith angle
Db element_pattern_gain(Angle azimuth_from_boresight, Angle elevation_from_boresight) noexcept;

/// Power of a row of n equal sources half a wavelength apart, relative to all in phase.
///
///   F = |sin(n x) / (n sin x)|^2,  x = pi (u - u0) / 2
///     u, u0  sines of the angle looked from and steered to, from the row's normal
///
/// Source:   uniform linear array, textbook form, from memory; spacing of [TR38.901] section 7.3
/// Valid:    equal weights, no coupling
/// Differs:  nothing
double row_factor(int sources, double sine_offset) noexcept;

/// Gain of a uniform rectangular array of such elements at half-wavelength spacing, all in phase:
/// the element's gain plus the array factor 10 log10(|sum|^2 / (rows cols)).
///
/// Source:   [TR38.901] section 7.3, array of M x N elements; array factor from memory
/// Valid:    beam steered to boresight
/// Differs:  no coupling, one panel
Db array_pattern_gain(Angle azimuth_from_boresight, Angle elevation_from_boresight, int rows,
                      int cols) noexcept;

}  // namespace sim
