// How near a transmitter a person may stand, as a screening figure.
#pragma once

#include "sim/base/units.h"

namespace sim {

enum class ExposureLimit {
  fcc_public,
  fcc_occupational,
  icnirp_local_public,
  icnirp_local_occupational
};

/// Power density a limit allows.
///
///   fcc_public                  10 W/m2 (1 mW/cm2, general population)
///   fcc_occupational            50 W/m2
///   icnirp_local_public         55 f^-0.177 W/m2, f in GHz
///   icnirp_local_occupational   275 f^-0.177 W/m2
///
/// Source:   [47CFR1.1310], the limits from memory; [ICNIRP-2020] table of local exposure, the sign
///           of the exponent from memory
/// Valid:    1.5-100 GHz; above 6 up to 300 GHz
/// Differs:  nothing
double exposure_limit_w_per_m2(ExposureLimit limit, Frequency f) noexcept;

/// Distance at which the far field of a transmitter falls to that density.
///
///   r = sqrt( g EIRP / (4 pi S) )                            [m]
///     EIRP  radiated power towards the person      eirp
///     S     the limit                              W/m2
///     g     power gained by a reflecting ground    reflection_factor   1 = none, 2.56 = worst case
///
/// Source:   [OET65] far-field formula; the factor 2.56 is its ground reflection
/// Valid:    the antenna's far field (2 D^2 / lambda), main beam all the time
/// Differs:  nothing; a free-space screening figure, not a compliance assessment
double exposure_distance_m(Dbm eirp, Frequency f, ExposureLimit limit,
                           double reflection_factor = 1.0) noexcept;

/// Where the far field of an antenna begins.
///
///   r = 2 D^2 / lambda                                       [m]
///     D  largest dimension of the antenna   aperture_m   m   > 0
///
/// Source:   textbook (Fraunhofer distance), from memory
/// Valid:    antennas of a wavelength and more
/// Differs:  nothing
double far_field_from_m(Frequency f, double aperture_m) noexcept;

}  // namespace sim
