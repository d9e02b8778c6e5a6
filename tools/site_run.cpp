#include "tools/site_run.h"

#include <fmt/format.h>

#include "sim/report/credits.h"
#include "sim/scene/scene_builder.h"

namespace kerbray {

std::unique_ptr<SiteRun> open_site(const Session& session, const std::string& site, bool strict) {
  auto run = std::make_unique<SiteRun>();
  run->imported = sim::import_site(sim::read_site(site), strict);
  run->scene = sim::build_scene(run->imported, run->imported.report);
  run->caster = std::make_unique<sim::RayCaster>(run->scene);
  run->stamp = {.version = KERBRAY_VERSION,
                .site_name = run->imported.site.name,
                .credits = sim::data_credits(run->imported, run->scene)};
  run->options = {.spacing_m = run->imported.site.predict.spacing_m,
                  .radius_m = run->imported.site.predict.radius_m,
                  .receiver_height_agl_m = run->imported.site.receiver.height_agl_m};
  say(session,
      fmt::format("{}: {} buildings, {} poles, {} trees, {} nodes in {}", run->stamp.site_name,
                  run->imported.buildings.size(), run->imported.poles.size(),
                  run->imported.trees.size(), run->scene.nodes.size(), run->imported.crs.name()));
  return run;
}

}  // namespace kerbray
