#include "sim/loss/two_edges.h"

#include "sim/loss/edge_wave.h"
#include "sim/loss/fresnel_integrals.h"
#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

/// Edge 2 above the line from edge 1 to the receiver.
double second_over_first_m(const TwoEdges& e) { return e.h2_m - e.h1_m * e.c_m / (e.b_m + e.c_m); }

/// The same path from the other end.
TwoEdges turned(const TwoEdges& e) {
  return {.a_m = e.c_m, .b_m = e.b_m, .c_m = e.a_m, .h1_m = e.h2_m, .h2_m = e.h1_m};
}

/// An edge on the direct path itself is taken as just below it.
double off_the_line(double p) { return p == 0.0 ? 1e-12 : p; }

}  // namespace

TwoEdgeLoss two_edges_equal_loss(Frequency f, const TwoEdges& e) noexcept {
  TwoEdgeLoss answer;
  answer.v1 = fresnel_parameter(f, e.a_m, e.b_m, second_over_first_m(turned(e)));
  answer.v2 = fresnel_parameter(f, e.b_m, e.c_m, second_over_first_m(e));
  answer.first = knife_edge_loss(answer.v1);
  answer.second = knife_edge_loss(answer.v2);
  answer.correction =
      Db::from_power_ratio((e.a_m + e.b_m) * (e.b_m + e.c_m) / (e.b_m * (e.a_m + e.b_m + e.c_m)));
  answer.loss = answer.first + answer.second + answer.correction;
  return answer;
}

TwoEdgeLoss two_edges_dominant_loss(Frequency f, const TwoEdges& edges) noexcept {
  const double p_first = fresnel_parameter(f, edges.a_m, edges.b_m + edges.c_m, edges.h1_m);
  const double q_second = fresnel_parameter(f, edges.a_m + edges.b_m, edges.c_m, edges.h2_m);
  const bool turn = q_second > p_first;
  const TwoEdges e = turn ? turned(edges) : edges;
  const double p = turn ? q_second : p_first, q = turn ? p_first : q_second;
  TwoEdgeLoss answer;
  answer.v1 = p;
  answer.v2 = fresnel_parameter(f, e.b_m, e.c_m, second_over_first_m(e));
  answer.first = knife_edge_loss(answer.v1);
  answer.second = knife_edge_loss(answer.v2);
  if (q > 0.0) {
    const double alpha = std::atan(std::sqrt(e.b_m * (e.a_m + e.b_m + e.c_m) / (e.a_m * e.c_m)));
    const double most = 12.0 - 20.0 * std::log10(2.0 / (1.0 - alpha / std::numbers::pi));
    answer.correction = Db(most * std::pow(q / p, 2.0 * p));
  }
  answer.loss = answer.first + answer.second - answer.correction;
  return answer;
}

std::complex<double> two_edges_field(Frequency f, const TwoEdges& e) noexcept {
  // R^2 = m11 y1^2 + 2 m12 y1 y2 + m22 y2^2, of which xi = r1 y1 + r2 y2, eta = r3 y2.
  const double k = 2.0 / f.wavelength_m();
  const double r1 = std::sqrt(k * (1.0 / e.a_m + 1.0 / e.b_m));
  const double r2 = -k / (e.b_m * r1);
  const double r3 = std::sqrt(k * (1.0 / e.c_m + 1.0 / (e.a_m + e.b_m)));
  const double xi = r1 * e.h1_m + r2 * e.h2_m, eta = r3 * e.h2_m;  // the corner
  // Sides of the wedge, which lies to the left of the first: y2 = h2 from the corner on to the
  // right, and y1 = h1 coming down to it.
  const double length = std::hypot(r2, r3);
  const double tx = r2 / length, ty = r3 / length;
  // Going round with the wedge to the left: in along the second side, out along the first. The
  // direct path's distance from each is positive on the wedge's side.
  const double p1 = off_the_line(-eta), p2 = off_the_line(eta * tx - xi * ty);
  const std::complex<double> around = edge_wave(p1, xi) + edge_wave(p2, xi * tx + eta * ty);
  const bool inside = p1 > 0.0 && p2 > 0.0;
  return (inside ? 1.0 : 0.0) - around / (2.0 * std::numbers::pi);
}

}  // namespace sim
