#include "sim/loss/two_edges.h"

#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

/// Edge 2 above the line from edge 1 to the receiver.
double second_over_first_m(const TwoEdges& e) { return e.h2_m - e.h1_m * e.c_m / (e.b_m + e.c_m); }

/// The same path from the other end.
TwoEdges turned(const TwoEdges& e) {
  return {.a_m = e.c_m, .b_m = e.b_m, .c_m = e.a_m, .h1_m = e.h2_m, .h2_m = e.h1_m};
}

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

}  // namespace sim
