// The wave that a straight edge sends on: the one integral behind every outline.
#pragma once

#include <complex>

namespace sim {

/// Part of an edge's wave from beyond a point of it.
///
///   V(p, s) = integral from s to infinity of p exp(-j pi/2 (p^2 + t^2)) / (p^2 + t^2) dt
///     p  distance of the edge's line from the direct path, either sign   Fresnel units
///     s  from the foot of the direct path along the edge                 Fresnel units
///
/// It is Owen's T function with a complex argument: 2 pi T(h, a) runs over the same angle with
/// exp(-h^2 / 2 (1 + x^2)), h^2 = j pi p^2. V(p, -infinity) = 2 pi sign(p) u(|p|), u the field past
/// a half plane's edge.
///
/// Source:   [OWEN-56] for the real argument; the complex one by the same integral
/// Valid:    every p and s; 0 for p = 0; NaN where p^2 + s^2 is more than a double holds
/// Differs:  Gauss-Legendre near the foot and the edge, asymptotic series where p or s is beyond
///           4.5, to 1e-9
std::complex<double> edge_wave(double p, double s) noexcept;

}  // namespace sim
