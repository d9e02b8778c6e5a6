// Two edges in the way, one behind the other.
#pragma once

#include <complex>

#include "sim/base/units.h"

namespace sim {

/// Where two edges stand: a from the transmitter to the first, b between them, c on to the
/// receiver; h1 and h2 above the direct path.
struct TwoEdges {
  double a_m = 0.0, b_m = 0.0, c_m = 0.0;  ///< > 0
  double h1_m = 0.0, h2_m = 0.0;
};

struct TwoEdgeLoss {
  double v1 = 0.0, v2 = 0.0;  ///< Fresnel parameters as the method takes them
  Db first, second;           ///< J of each
  Db correction;              ///< L_c, added; or T_c, subtracted
  Db loss;
};

/// Loss over two edges of similar share (the successive construction).
///
///   L = J(v1') + J(v2') + L_c,   L_c = 10 log10[ (a + b)(b + c) / (b (a + b + c)) ]   [dB]
///     v1'  edge 1 above the line from transmitter to edge 2, over a and b
///     v2'  edge 2 above the line from edge 1 to receiver, over b and c
///
/// Source:   [P.526] section 4.3; formula from memory
/// Valid:    L_c where both J exceed about 15 dB
/// Differs:  nothing
TwoEdgeLoss two_edges_equal_loss(Frequency f, const TwoEdges& edges) noexcept;

/// Loss over two edges of which one dominates.
///
///   L   = J(v1) + J(v2') - T_c                                                          [dB]
///   T_c = [12 - 20 log10( 2 / (1 - alpha / pi) )] (q / p)^(2 p)
///   tan alpha = sqrt( b (a + b + c) / (a c) )
///   p = h1 sqrt( (2 / lambda) (a + b + c) / ((b + c) a) )
///   q = h2 sqrt( (2 / lambda) (a + b + c) / ((a + b) c) )
///     v1   the dominating edge above the direct path
///     v2'  the other above the line from the dominating edge to the far end
///
/// Source:   [P.526] section 4.3; formula from memory
/// Valid:    the dominating edge above the direct path
/// Differs:  where edge 2 dominates the path is turned round, so that both directions agree (the
///           published formula jumps where the edges take turns in dominating, unless a = c);
///           T_c = 0 where the lesser edge does not reach the path (the power is not defined there)
TwoEdgeLoss two_edges_dominant_loss(Frequency f, const TwoEdges& edges) noexcept;

/// Field over two edges, relative to free space, without an approximation of its own: Kirchhoff's
/// integral in both planes.
///
///   u = j' integral over y1 > h1, y2 > h2 of
///       exp(-j (pi / lambda) (y1^2 / a + (y2 - y1)^2 / b + y2^2 / c)) dy1 dy2,  1 without edges
///
/// The quadratic form is real, so a linear map turns it into xi^2 + eta^2 and the quadrant into a
/// wedge of opening acos(-sqrt(a c / ((a + b)(b + c)))): two edge waves from the wedge's corner.
/// Where the edges meet (b = 0) the higher one remains; where an edge is far below, it vanishes.
///
/// Source:   [VOGLER-82] for two edges (the repeated integral, from memory); its closed form as an
///           edge_wave derived here, checked against the integral taken numerically
/// Valid:    heights small against the distances between them
/// Differs:  nothing
std::complex<double> two_edges_field(Frequency f, const TwoEdges& edges) noexcept;

}  // namespace sim
