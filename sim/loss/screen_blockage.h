// A flat screen in the way, from floor to head: person, car, pole.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// An upright rectangle across the path, standing on the ground between two antennas.
struct BlockingScreen {
  double at_m = 0.0;  ///< horizontal distance from the node
  double width_m = 0.0, height_m = 0.0;
  double offset_m = 0.0;  ///< its middle, sideways from the path
};

struct ScreenBlockage {
  double base = 0.0, top = 0.0;    ///< F_h1, F_h2
  double left = 0.0, right = 0.0;  ///< F_w1, F_w2
  Db loss;
};

/// Loss by one screen from the knife edges at its four sides.
///
///   L = -20 log10( 1 - (F_h1 + F_h2)(F_w1 + F_w2) )         [dB]
///   F = (1/pi) atan( +- (pi/2) sqrt( (pi/lambda)(D1 + D2 - r) ) )
///
/// D1, D2 and r are taken in the side view for base and top, in the plan for the sides. Both F of a
/// view are positive where the path crosses the screen in that view; else the nearer is negative.
///
///     d         horizontal distance   distance_m              m   > 0
///     h_n, h_r  antenna heights       h_node_m, h_receiver_m  m
///
/// Source:   [TR38.901] section 7.6.4.2, eq. 7.6-29 and 7.6-30
/// Valid:    0.5-100 GHz, screen between the ends
/// Differs:  the screen stands across the path and on the ground
ScreenBlockage screen_blockage_loss(Frequency f, double distance_m, double h_node_m,
                                    double h_receiver_m, const BlockingScreen& screen) noexcept;

}  // namespace sim
