// What decides a link.
#pragma once

#include "sim/link/link.h"

namespace sim {

/// What decides. A link that holds: the dearest thing on the way, the sector's edge or the phone's
/// being turned away (cause `body`) where that costs more. One that does not: the dearest of them,
/// if the link would be better off without what stands in the way and at the beam's middle; else
/// plain distance. A link that holds only by way of a reflection holds: its cause is what it is
/// spared.
void decide_cause(LinkResult& link, const LinkSettings& settings);

}  // namespace sim
