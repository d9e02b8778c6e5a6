#include "sim/loss/knife_edge.h"

#include <cmath>

namespace sim {

double fresnel_parameter(Frequency f, double d1_m, double d2_m, double h_m) noexcept {
  return h_m * std::sqrt(2.0 / f.wavelength_m() * (1.0 / d1_m + 1.0 / d2_m));
}

Db knife_edge_loss(double v) noexcept {
  if (!(v > -0.78)) return Db(0.0);
  const double u = v - 0.1;
  return Db(6.9 + 20.0 * std::log10(std::sqrt(u * u + 1.0) + u));
}

FresnelIntegrals fresnel_integrals(double x) noexcept {
  const double a = std::abs(x);
  const double half_pi = 0.5 * std::numbers::pi;
  double c = 0.0, s = 0.0;
  if (a < 4.0) {
    // sum of (i pi/2)^n x^(2n+1) / (n! (2n+1)): even n give C, odd n give S.
    double term = a;  // (pi/2)^n x^(2n+1) / n!
    for (int n = 0; n < 200; ++n) {
      const double part = term / (2 * n + 1);
      switch (n % 4) {
        case 0:
          c += part;
          break;
        case 1:
          s += part;
          break;
        case 2:
          c -= part;
          break;
        default:
          s -= part;
      }
      if (n > 4 && part < 1e-17) break;
      term *= half_pi * a * a / (n + 1);
    }
  } else {
    // f(x) ~ 1/(pi x) (1 - 3/(pi x^2)^2 + 105/(pi x^2)^4 ...), g(x) ~ 1/(pi^2 x^3) (1 - 15/... ).
    const double z = std::numbers::pi * a * a;
    const double z2 = z * z;
    const double f = 1.0 / (std::numbers::pi * a) *
                     (1.0 - 3.0 / z2 + 105.0 / (z2 * z2) - 10395.0 / (z2 * z2 * z2) +
                      2027025.0 / (z2 * z2 * z2 * z2));
    const double g = 1.0 / (std::numbers::pi * a * z) *
                     (1.0 - 15.0 / z2 + 945.0 / (z2 * z2) - 135135.0 / (z2 * z2 * z2) +
                      34459425.0 / (z2 * z2 * z2 * z2));
    const double phase = half_pi * a * a;
    c = 0.5 + f * std::sin(phase) - g * std::cos(phase);
    s = 0.5 - f * std::cos(phase) - g * std::sin(phase);
  }
  return x < 0.0 ? FresnelIntegrals{-c, -s} : FresnelIntegrals{c, s};
}

Db knife_edge_loss_exact(double v) noexcept {
  const auto [c, s] = fresnel_integrals(v);
  return Db(-20.0 * std::log10(0.5 * std::hypot(1.0 - c - s, c - s)));
}

}  // namespace sim
