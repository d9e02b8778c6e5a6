// What a surface that is not smooth takes from its mirror image and sends elsewhere.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Share of the power of the mirror image that a rough surface keeps.
///
///   rho^2 = exp(-g^2),   g = 4 pi s cos(t) / lambda
///     s    rms height, normally distributed    rms_height_m    m        >= 0
///     t    incidence from the normal           incidence       degrees  0..90
///
/// A surface is called smooth where s < lambda / (8 cos t), Rayleigh's criterion: there g < pi/2.
///
/// Source:   [AMENT-53], from memory
/// Valid:    slopes gentle, no part of the surface in the shadow of another; far below 1 it is too
///           small (the Bessel factor of later work adds power for g > 2)
/// Differs:  nothing
double mirror_share_of_rough_surface(Frequency f, double rms_height_m, Angle incidence) noexcept;

/// The greatest rms height that Rayleigh's criterion calls smooth.
///
///   s = lambda / (8 cos t)   [m]
///
/// Source:   [AMENT-53] and textbooks, from memory
/// Valid:    as above
/// Differs:  nothing
double rayleigh_height_m(Frequency f, Angle incidence) noexcept;

/// Power scattered by a small piece of a wall to a receiver, over the power that the sender
/// radiates, both isotropic: Lambert's lobe of the effective-roughness model.
///
///   P_r / P_t = S^2 (lambda / 4 pi)^2 cos(t_i) cos(t_s) A / (pi r_i^2 r_s^2)
///     S          scattering coefficient              0..1
///     t_i, t_s   from the normal, in and out
///     r_i, r_s   from the ends to the piece           m
///     A          area of the piece                    m^2
///
/// Integrated over all directions out, it sends S^2 of the power that meets the piece.
///
/// Source:   [DEGLI-ESPOSTI-07], Lambertian model, from memory
/// Valid:    pieces small against r_i and r_s
/// Differs:  nothing
double lambert_scatter_gain(Frequency f, double scattering, double cos_in, double cos_out,
                            double area_m2, double r_in_m, double r_out_m) noexcept;

}  // namespace sim
