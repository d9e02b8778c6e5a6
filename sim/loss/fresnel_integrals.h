// The integrals that every straight edge leads to.
#pragma once

#include <complex>

namespace sim {

/// Fresnel integrals C(x) = integral from 0 to x of cos(pi/2 t^2) dt, S(x) likewise of the sine.
///
/// Source:   textbook series, from memory
/// Valid:    every x
/// Differs:  power series below |x| = 2; above, the slow part of the rest is taken from a Chebyshev
///           fit to the continued fraction of erfc, made once when the program starts; to 1e-12
struct FresnelIntegrals {
  double c, s;
};
FresnelIntegrals fresnel_integrals(double x) noexcept;

/// Field past the edge of an opaque half plane, relative to free space.
///
///   u(v) = ((1 + j) / 2) integral from v to infinity of exp(-j pi/2 t^2) dt
///
/// 1 far on the lit side (v << 0), 1/2 on the shadow boundary. Time dependence exp(j w t).
///
/// Source:   [P.526] section 4.1 in complex form: |u| = 10^(-J(v) / 20)
/// Valid:    every v
/// Differs:  nothing
std::complex<double> field_past_edge(double v) noexcept;

}  // namespace sim
