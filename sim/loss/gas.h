// Oxygen and water vapour.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Specific attenuation of air, line by line.
struct GasAttenuation {
  double oxygen_db_per_km = 0.0;  ///< with the dry continuum
  double water_db_per_km = 0.0;
  double total() const { return oxygen_db_per_km + water_db_per_km; }
};

/// Sum over the spectroscopic lines plus the dry continuum.
///
///   gamma = 0.1820 f ( N''_oxygen(f) + N''_water(f) )             [dB/km]
///     f      frequency                        GHz     1..1000
///     p      dry air pressure                 hPa
///     T      temperature                      K
///     rho    water vapour density             g/m3    e = rho T / 216.7 hPa
///
/// Source:   [P.676-13] Annex 1; lines of its Tables 1 and 2 in assets/; equation numbers not read
/// Valid:    1-1000 GHz
/// Differs:  nothing
GasAttenuation gas_attenuation(Frequency f, double pressure_hpa, double temperature_k,
                               double water_vapour_g_m3) noexcept;

/// Total of the above, by default for the reference atmosphere at the ground.
double gas_attenuation_db_per_km(Frequency f, double pressure_hpa = 1013.25,
                                 double temperature_k = 288.15,
                                 double water_vapour_g_m3 = 7.5) noexcept;

}  // namespace sim
