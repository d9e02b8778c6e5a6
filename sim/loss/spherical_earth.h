// Over the horizon of a smooth Earth.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// What the wave runs over, as far as its electric properties matter.
struct GroundConstants {
  double relative_permittivity = 22.0;
  double conductivity_s_per_m = 0.003;
};
inline constexpr GroundConstants land_ground{22.0, 0.003};  // [P.452-18] section 4.2.2.1
inline constexpr GroundConstants sea_ground{80.0, 5.0};     // [P.452-18], from memory

/// Diffraction loss of a smooth spherical Earth, for any distance and antenna height.
///
///   beyond the horizon, d >= sqrt(2 a)(sqrt(0.001 h1) + sqrt(0.001 h2)):  L = L_ft(a)
///   within, where the smallest clearance h is below h_req = 17.456 sqrt(d1 d2 lambda / d):
///     L = (1 - h / h_req) L_ft(a_em),  a_em = 500 (d / (sqrt h1 + sqrt h2))^2; 0 where negative
///   L_ft = -F(X) - G(Y1) - G(Y2), the first term of the residue series
///     d       distance                   distance_km          km   > 0
///     h1, h2  heights above the surface  h_tx_m, h_rx_m       m    >= 0
///     a       effective Earth radius     effective_radius_km  km   > 0
///
/// Source:   [P.526] section 3.2 = [P.452-18] section 4.2.2; formulas from memory, checked against
///           the validation examples of ITU-R Study Group 3
/// Valid:    f >= 0.01 GHz (from memory)
/// Differs:  one kind of ground along the whole path
Db spherical_earth_loss(Frequency f, double distance_km, double h_tx_m, double h_rx_m,
                        double effective_radius_km, bool vertical_polarization,
                        GroundConstants ground) noexcept;

}  // namespace sim
