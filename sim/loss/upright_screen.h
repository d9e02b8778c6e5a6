// What a thing of upright outline costs, as the mean over the way a phone sways.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// One side of an outline as seen along the direct path.
struct OutlineSide {
  double offset_m = 0.0;  ///< from the path outwards; negative where the thing does not reach it
  double at_m = 0.0;      ///< along the path
};

/// A thing with upright sides and level top and bottom; a side at infinity does not exist.
struct UprightOutline {
  OutlineSide left, right, top, bottom;
};

/// v of an edge `offset_m` from the path, by the longer way round it: sign(offset) 2 sqrt(excess /
/// lambda). Equals fresnel_parameter where the offset is small against the distances, and holds
/// where it is not.
///
/// Source:   [P.526] section 4.1, v by the excess of the path
/// Valid:    0 < at < length
/// Differs:  nothing
double edge_parameter(Frequency f, double length_m, double at_m, double offset_m) noexcept;

/// Loss behind an opaque upright outline, from the mean power where the receiver stands.
///
///   u = 1 - (1 - A)(1 - B),   A = u(v_left) + u(v_right),  B = u(v_bottom) + u(v_top)
///   L = -10 log10 <|u|^2>, at least 0                                           [dB]
///
/// u(v) is Kirchhoff's field past one straight edge (field_past_edge); a rectangle is the product
/// of its two directions (Babinet). < > is the mean over the receiver's sway, across and upwards
/// apart: the wave of each edge turns its phase by (2 pi / lambda) times the change of the way
/// round it, so a product of two waves keeps exp(-(turn_1 - turn_2)^2 / 2) of its value. The field
/// of a single edge and of a thin post stays; the fringes between the edges of a wide thing, a few
/// centimetres apart, average out as they do in a measurement taken in the hand.
///
///     sway_m  standard deviation of the receiver's place, >= 0; 0 = the field at one point
///
/// Source:   Kirchhoff's integral, textbook form, from memory; the mean over a normal spread of
///           phase, textbook form
/// Valid:    opaque, wavelength small against the distances
/// Differs:  never a gain: the bright spot behind a small disc is taken as 0 dB
Db upright_screen_loss(Frequency f, double length_m, const UprightOutline& outline,
                       double sway_m) noexcept;

}  // namespace sim
