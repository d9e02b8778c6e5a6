#include "sim/loss/spherical_earth.h"

#include <algorithm>

namespace sim {
namespace {

/// Height gain G of one antenna.
double height_gain_db(double y, double beta, double admittance) {
  const double b = beta * y;
  const double gain = b > 2.0 ? 17.6 * std::sqrt(b - 1.1) - 5.0 * std::log10(b - 1.1) - 8.0
                              : 20.0 * std::log10(b + 0.1 * b * b * b);
  return std::max(gain, 2.0 + 20.0 * std::log10(admittance));
}

/// Distance term F.
double distance_term_db(double x) {
  return x >= 1.6 ? 11.0 + 10.0 * std::log10(x) - 17.6 * x
                  : -20.0 * std::log10(x) - 5.6488 * std::pow(x, 1.425);
}

/// L_ft of an Earth of radius a.
double first_term_db(double f_ghz, double d_km, double h1_m, double h2_m, double a_km,
                     bool vertical, GroundConstants ground) {
  const double eps = ground.relative_permittivity;
  const double loss_part = 18.0 * ground.conductivity_s_per_m / f_ghz;
  double k = 0.036 / std::cbrt(a_km * f_ghz) /
             std::pow((eps - 1.0) * (eps - 1.0) + loss_part * loss_part, 0.25);
  if (vertical) k *= std::hypot(eps, loss_part);
  const double k2 = k * k;
  const double beta = (1.0 + 1.6 * k2 + 0.67 * k2 * k2) / (1.0 + 4.5 * k2 + 1.53 * k2 * k2);
  const double x = 21.88 * beta * std::cbrt(f_ghz / (a_km * a_km)) * d_km;
  const double y = 0.9575 * beta * std::cbrt(f_ghz * f_ghz / a_km);
  return -distance_term_db(x) - height_gain_db(y * h1_m, beta, k) -
         height_gain_db(y * h2_m, beta, k);
}

}  // namespace

Db spherical_earth_loss(Frequency f, double d, double h1, double h2, double a, bool vertical,
                        GroundConstants ground) noexcept {
  const double horizon_km = std::sqrt(2.0 * a) * (std::sqrt(0.001 * h1) + std::sqrt(0.001 * h2));
  if (d >= horizon_km) return Db(first_term_db(f.ghz(), d, h1, h2, a, vertical, ground));
  const double c = (h1 - h2) / (h1 + h2);
  const double m = 250.0 * d * d / (a * (h1 + h2));
  const double bent = 1.5 * c * std::sqrt(3.0 * m / ((m + 1.0) * (m + 1.0) * (m + 1.0)));
  const double b = 2.0 * std::sqrt((m + 1.0) / (3.0 * m)) *
                   std::cos(std::numbers::pi / 3.0 + std::acos(std::clamp(bent, -1.0, 1.0)) / 3.0);
  const double d1 = std::clamp(0.5 * d * (1.0 + b), 0.0, d), d2 = d - d1;
  const double clearance_m =
      ((h1 - 500.0 * d1 * d1 / a) * d2 + (h2 - 500.0 * d2 * d2 / a) * d1) / d;
  const double required_m = 17.456 * std::sqrt(d1 * d2 * f.wavelength_m() / d);
  if (clearance_m > required_m) return Db(0.0);
  const double spread = d / (std::sqrt(h1) + std::sqrt(h2));
  const double at_horizon =
      first_term_db(f.ghz(), d, h1, h2, 500.0 * spread * spread, vertical, ground);
  if (!(at_horizon > 0.0)) return Db(0.0);
  return Db((1.0 - clearance_m / required_m) * at_horizon);
}

}  // namespace sim
