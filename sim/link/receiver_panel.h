// The phone's own antenna panel: which way it looks.
#pragma once

#include "sim/base/assets.h"
#include "sim/base/receiver_context.h"
#include "sim/base/units.h"

namespace sim {

/// Where a path comes from, seen from the phone: true azimuth, elevation above the horizon.
struct Arrival {
  Angle azimuth, elevation;
};

/// Angle between where the panel looks and where a path comes from, 0-180 degrees. `node` is where
/// the direct path comes from, which a phone that faces the node looks to. A phone as it is held
/// may look anywhere: every path counts as 90 degrees off, where half of the sphere is better.
Angle panel_angle(const Facing& facing, Arrival node, Arrival path);

/// Gain of the panel towards a path, relative to the way it looks, <= 0.
///
///   -min(gap (angle / 90)^2, 30)      [dB]
///     gap    least peak over 50 %-of-sphere EIRP of a phone      TS 38.101-2, by band
///
/// Half of the sphere lies within 90 degrees of the way the panel looks, so the level that half of
/// the sphere reaches is the level at 90 degrees. The square law between is that of the element in
/// TR 38.901 Table 7.3-1, and so is its end at 30 dB: common practice, no source.
Db panel_gain(Angle from_panel, Frequency frequency, const Defaults& defaults);

}  // namespace sim
