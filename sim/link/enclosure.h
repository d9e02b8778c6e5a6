// What the receiver is held in or behind.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Adds the terms of the receiver's context: vehicle; pane, slab or facade; body; and a hand over
/// the panel in any of them. Nothing outdoors with the panel clear. `elevation` is that of the path
/// at the receiver, above the horizon.
void add_enclosure(const Receiver& receiver, Frequency f, Angle elevation,
                   const LinkSettings& settings, std::vector<LossTerm>& terms);

}  // namespace sim
