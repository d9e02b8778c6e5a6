// What the receiver is held in or behind.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Adds the term of the receiver's context: vehicle, glass, body; nothing outdoors.
void add_enclosure(const Receiver& receiver, Frequency f, const LinkSettings& settings,
                   std::vector<LossTerm>& terms);

}  // namespace sim
