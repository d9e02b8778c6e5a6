// The phone in the site file.
#pragma once

#include "sim/import/site.h"
#include "sim/import/toml_section.h"

namespace sim {

/// Reads [receiver]: height, gain, noise figure, context, the way it faces and what the contexts
/// are made of. Throws InputError for words and pairs that make no sense together.
void read_receiver(TomlSection& section, ReceiverSettings& receiver);

}  // namespace sim
