// The field behind an opaque thing of any outline.
#pragma once

#include <complex>
#include <span>

#include "sim/base/units.h"

namespace sim {

/// A corner of an outline in the plane across the path; the direct path pierces it at (0, 0).
struct OutlinePoint {
  double x_m = 0.0, y_m = 0.0;
};

/// Field behind an opaque flat outline relative to free space, in the paraxial approximation of
/// Kirchhoff's integral.
///
///   u = 1 - (j/2) integral over the area of exp(-j pi/2 (xi^2 + eta^2)) dxi deta
///   (xi, eta) = (x, y) sqrt( (2 / lambda)(1/d1 + 1/d2) )
///
/// In polar coordinates the integral along each radius is elementary, which leaves one round the
/// outline: integral = (j/pi) closed integral of (exp(-j pi rho^2 / 2) - 1) dtheta, a sum over its
/// straight edges of the waves they send (edge_wave).
///
///     d1, d2   from the ends to the plane   d1_m, d2_m   m   > 0
///     outline  corners, either way round; it must not cross itself
///
/// Time dependence exp(j w t): a longer way round has a negative phase.
///
/// Source:   Kirchhoff's integral, textbook form, from memory; checked against the half plane, the
///           strip, the disc and Babinet's principle
/// Valid:    outline and wavelength small against d1 and d2; opaque; nothing else near
/// Differs:  no thickness, no reflection from the ground
std::complex<double> silhouette_field(Frequency f, double d1_m, double d2_m,
                                      std::span<const OutlinePoint> outline) noexcept;

/// Whether two edges cut through each other, which leaves no inside and outside. Edges that only
/// touch, as along a slit to a window, do not.
bool outline_crosses_itself(std::span<const OutlinePoint> outline) noexcept;

}  // namespace sim
