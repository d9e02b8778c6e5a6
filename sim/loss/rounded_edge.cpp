#include "sim/loss/rounded_edge.h"

#include "sim/loss/knife_edge.h"

namespace sim {

RoundedEdge rounded_edge_loss(Frequency f, double d1_m, double d2_m, double h_m,
                              double radius_m) noexcept {
  RoundedEdge edge;
  edge.v = fresnel_parameter(f, d1_m, d2_m, h_m);
  edge.knife = knife_edge_loss(edge.v);
  if (!(radius_m > 0.0)) return edge;
  const double size = std::numbers::pi * radius_m / f.wavelength_m();
  const double m = radius_m * (d1_m + d2_m) / (d1_m * d2_m) / std::cbrt(size);
  const double n = h_m * std::cbrt(size * size) / radius_m;
  const double common = 7.2 * std::sqrt(m) + 3.6 * std::pow(m, 1.5) - 0.8 * m * m;
  edge.m = m;
  edge.n = n;
  edge.curvature = m * n <= 4.0
                       ? Db(common - (2.0 - 12.5 * n) * m)
                       : Db(common - 6.0 - 20.0 * std::log10(m * n) - (2.0 - 17.0 * n) * m);
  return edge;
}

}  // namespace sim
