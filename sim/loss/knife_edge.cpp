#include "sim/loss/knife_edge.h"

#include <complex>

namespace sim {

double fresnel_parameter(Frequency f, double d1_m, double d2_m, double h_m) noexcept {
  return h_m * std::sqrt(2.0 / f.wavelength_m() * (1.0 / d1_m + 1.0 / d2_m));
}

Db knife_edge_loss(double v) noexcept {
  if (!(v > -0.78)) return Db(0.0);
  const double u = v - 0.1;
  return Db(6.9 + 20.0 * std::log10(std::sqrt(u * u + 1.0) + u));
}

namespace {

/// Power series: sum of (i pi/2)^n x^(2n+1) / (n! (2n+1)), of which even n give C and odd n give S.
FresnelIntegrals by_power_series(double x) {
  const double step = 0.5 * std::numbers::pi * x * x;
  double term = x;  // (pi/2)^n x^(2n+1) / n!
  FresnelIntegrals sum{0.0, 0.0};
  for (int n = 0; n < 200; ++n) {
    const double part = term / (2 * n + 1);
    double& half = n % 2 == 0 ? sum.c : sum.s;
    half += n % 4 < 2 ? part : -part;
    if (part < 1e-17) break;
    term *= step / (n + 1);
  }
  return sum;
}

/// C + iS = (1 + i)/2 (1 - erfc w) with w = (sqrt(pi)/2)(1 - i) x and the continued fraction
///   erfc w = e^(-w^2) / sqrt(pi) / (w + (1/2)/(w + 1/(w + (3/2)/(w + ...)))).
FresnelIntegrals by_continued_fraction(double x) {
  constexpr int depth = 60;  // settled to the last digit from x = 2 on
  const double root_pi = std::sqrt(std::numbers::pi);
  const std::complex<double> w = 0.5 * root_pi * std::complex<double>(x, -x);
  std::complex<double> tail = w;
  for (int n = depth; n > 0; --n) tail = w + 0.5 * n / tail;
  const std::complex<double> erfc =
      std::polar(1.0, 0.5 * std::numbers::pi * x * x) / (root_pi * tail);
  const std::complex<double> sum = std::complex<double>(0.5, 0.5) * (1.0 - erfc);
  return {sum.real(), sum.imag()};
}

}  // namespace

FresnelIntegrals fresnel_integrals(double x) noexcept {
  constexpr double seam = 2.0;  // beyond, the series loses digits
  const double a = std::abs(x);
  const FresnelIntegrals i = a < seam ? by_power_series(a) : by_continued_fraction(a);
  return x < 0.0 ? FresnelIntegrals{-i.c, -i.s} : i;
}

Db knife_edge_loss_exact(double v) noexcept {
  const auto [c, s] = fresnel_integrals(v);
  return Db(-20.0 * std::log10(0.5 * std::hypot(1.0 - c - s, c - s)));
}

}  // namespace sim
