#include "sim/loss/gas.h"

#include <array>

namespace sim {
namespace {

/// One row of a line table: centre, then the six coefficients in the document's order.
using Line = std::array<double, 7>;

constexpr Line oxygen_lines[] = {
#include "gas_oxygen_lines.inc"
};
constexpr Line water_lines[] = {
#include "gas_water_lines.inc"
};

/// Line shape F with width d and interference delta.
double shape(double f, double f0, double width, double delta) {
  const double below = (width - delta * (f0 - f)) / ((f0 - f) * (f0 - f) + width * width);
  const double above = (width - delta * (f0 + f)) / ((f0 + f) * (f0 + f) + width * width);
  return f / f0 * (below + above);
}

double oxygen(double f, double p, double e, double theta) {
  double sum = 0.0;
  for (const auto& [f0, a1, a2, a3, a4, a5, a6] : oxygen_lines) {
    const double strength = a1 * 1e-7 * p * std::pow(theta, 3.0) * std::exp(a2 * (1.0 - theta));
    double width = a3 * 1e-4 * (p * std::pow(theta, 0.8 - a4) + 1.1 * e * theta);
    width = std::sqrt(width * width + 2.25e-6);  // Zeeman splitting
    const double delta = (a5 + a6 * theta) * 1e-4 * (p + e) * std::pow(theta, 0.8);
    sum += strength * shape(f, f0, width, delta);
  }
  const double d = 5.6e-4 * (p + e) * std::pow(theta, 0.8);
  const double continuum = f * p * theta * theta *
                           (6.14e-5 / (d * (1.0 + (f / d) * (f / d))) +
                            1.4e-12 * p * std::pow(theta, 1.5) / (1.0 + 1.9e-5 * std::pow(f, 1.5)));
  return sum + continuum;
}

double water(double f, double p, double e, double theta) {
  double sum = 0.0;
  for (const auto& [f0, b1, b2, b3, b4, b5, b6] : water_lines) {
    const double strength = b1 * 0.1 * e * std::pow(theta, 3.5) * std::exp(b2 * (1.0 - theta));
    double width = b3 * 1e-4 * (p * std::pow(theta, b4) + b5 * e * std::pow(theta, b6));
    // Doppler broadening
    width = 0.535 * width + std::sqrt(0.217 * width * width + 2.1316e-12 * f0 * f0 / theta);
    sum += strength * shape(f, f0, width, 0.0);
  }
  return sum;
}

}  // namespace

GasAttenuation gas_attenuation(Frequency frequency, double pressure_hpa, double temperature_k,
                               double water_vapour_g_m3) noexcept {
  const double f = frequency.ghz();
  const double e = water_vapour_g_m3 * temperature_k / 216.7;
  const double theta = 300.0 / temperature_k;
  return {.oxygen_db_per_km = 0.1820 * f * oxygen(f, pressure_hpa, e, theta),
          .water_db_per_km = 0.1820 * f * water(f, pressure_hpa, e, theta)};
}

double gas_attenuation_db_per_km(Frequency f, double pressure_hpa, double temperature_k,
                                 double water_vapour_g_m3) noexcept {
  return gas_attenuation(f, pressure_hpa, temperature_k, water_vapour_g_m3).total();
}

}  // namespace sim
