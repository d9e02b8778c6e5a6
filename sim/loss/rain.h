// Rain.
#pragma once

#include "sim/base/units.h"

namespace sim {

struct RainCoefficients {
  double k = 0.0, alpha = 0.0;
};

/// Coefficients of the power law gamma = k R^alpha for a polarization tilt (0 horizontal, 90
/// degrees vertical, 45 circular) and a path elevation.
///
///   log10 k = sum a_j exp(-((log10 f - b_j)/c_j)^2) + m_k log10 f + c_k, for H and V
///   alpha   = sum a_j exp(-((log10 f - b_j)/c_j)^2) + m_a log10 f + c_a
///   k       = (k_H + k_V + (k_H - k_V) cos^2(elevation) cos(2 tilt)) / 2
///   alpha   = (k_H a_H + k_V a_V + (k_H a_H - k_V a_V) cos^2(elevation) cos(2 tilt)) / (2 k)
///
/// Source:   [P.838-3], regression coefficients of its Tables 1 to 4; equation numbers not read
/// Valid:    1-1000 GHz
/// Differs:  nothing
RainCoefficients rain_coefficients(Frequency f, Angle polarization_tilt,
                                   Angle path_elevation) noexcept;

/// Specific attenuation gamma = k R^alpha [dB/km], R the rain rate in mm/h.
/// Source:   [P.838-3]
/// Valid:    1-1000 GHz
/// Differs:  nothing
double rain_attenuation_db_per_km(Frequency f, double rate_mm_h, Angle polarization_tilt,
                                  Angle path_elevation) noexcept;

}  // namespace sim
