// The integrals that every straight edge leads to.
#pragma once

#include <cmath>
#include <complex>
#include <cstdint>

namespace sim {

/// Rest of x >= 0 over whole fours, exactly: a phase of pi/2 x without its whole turns. std::fmod
/// costs as much as the field of an edge.
inline double over_fours(double x) noexcept {
  return x < 1e15 ? x - 4.0 * static_cast<double>(static_cast<std::int64_t>(0.25 * x))
                  : std::fmod(x, 4.0);
}

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
