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

/// Gain of a uniform rectangular array of such elements at half-wavelength spacing, all in phase:
/// the element's gain plus the array factor 10 log10(|sum|^2 / (rows cols)).
///
/// Source:   [TR38.901] section 7.3, array of M x N elements; array factor from memory
/// Valid:    beam steered to boresight
/// Differs:  no coupling, one panel
Db array_pattern_gain(Angle azimuth_from_boresight, Angle elevation_from_boresight, int rows,
                      int cols) noexcept;

}  // namespace sim
