// From a site file to a scene that rays can be cast in: what most commands begin with.
#pragma once

#include <memory>
#include <string>

#include "sim/cast/ray_caster.h"
#include "sim/import/records.h"
#include "sim/report/answers.h"
#include "tools/command.h"

namespace kerbray {

struct SiteRun {
  sim::ImportedSite imported;
  sim::Scene scene;
  std::unique_ptr<sim::RayCaster> caster;
  sim::Stamp stamp;
  sim::PredictOptions options;
};

/// Reads and builds; says on stderr how far it is. Members stay where they are: the caster looks at
/// the scene.
std::unique_ptr<SiteRun> open_site(const Session& session, const std::string& site,
                                   bool strict = false);

}  // namespace kerbray
