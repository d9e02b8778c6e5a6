// The Earth as a radio wave sees it.
#pragma once

namespace sim {

/// Effective Earth radius factor of an atmosphere whose refractivity changes evenly with height.
///
///   k = 157 / (157 + dN/dh) = 157 / (157 - |dN/dh|) where N falls with height
///     dN/dh  gradient of the refractivity   gradient_n_per_km   N units per km   > -157
///
/// Source:   [P.452-18] from memory
/// Valid:    gradients above -157 N/km; at and below it a ray follows the Earth or is trapped
/// Differs:  written with the sign, so that a refractivity which rises with height is right too
double effective_earth_factor(double gradient_n_per_km) noexcept;

/// Distance to the horizon of a smooth Earth.
///
///   d = sqrt(2 k R h / 1000)                                 [km]
///     h  antenna above the surface       height_m    m    >= 0
///     k  effective Earth radius factor               1    > 0
///     R  Earth radius                    radius_km   km   > 0
///
/// Source:   geometry of a circle whose radius is much larger than h; [P.526] has the same form
///           (from memory)
/// Valid:    h much smaller than k R
/// Differs:  nothing
double radio_horizon_km(double height_m, double k, double radius_km) noexcept;

}  // namespace sim
