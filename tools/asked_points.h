// The points of `--at`, answered.
#pragma once

#include <string>

#include "sim/predict/prediction.h"
#include "tools/site_run.h"

namespace kerbray {

/// Reads the file, stands its points on the ground of the scene and asks for their links. Points
/// off the ground are counted and have no row.
sim::ReceiverAnswers answer_points(const SiteRun& run, const sim::LinkSettings& settings,
                                   const std::string& file);

}  // namespace kerbray
