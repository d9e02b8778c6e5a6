#include "sim/loss/knife_edge.h"

#include "sim/loss/fresnel_integrals.h"

namespace sim {

double fresnel_parameter(Frequency f, double d1_m, double d2_m, double h_m) noexcept {
  return h_m * std::sqrt(2.0 / f.wavelength_m() * (1.0 / d1_m + 1.0 / d2_m));
}

Db knife_edge_loss(double v) noexcept {
  if (!(v > -0.78)) return Db(0.0);
  const double u = v - 0.1;
  return Db(6.9 + 20.0 * std::log10(std::sqrt(u * u + 1.0) + u));
}

double knife_edge_power(double v) noexcept {
  if (!(v > -0.78)) return 1.0;
  const double w = std::sqrt((v - 0.1) * (v - 0.1) + 1.0) + v - 0.1;
  return 0.20417379446695297 / (w * w);  // 10^(-0.69)
}

Db knife_edge_loss_exact(double v) noexcept {
  return Db(-10.0 * std::log10(std::norm(field_past_edge(v))));
}

}  // namespace sim
