// The walk in the site file.
#pragma once

#include "sim/import/site.h"
#include "sim/import/toml_section.h"

namespace sim {

/// Reads [plan] with its [[plan.avoid]] and [[plan.parking]]. Throws InputError for values out of
/// range, an unknown control and a start that is not one place on Earth.
void read_plan(TomlSection& section, const std::string& folder, PlanSettings& plan);

}  // namespace sim
