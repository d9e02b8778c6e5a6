#include <fmt/format.h>

#include <cmath>

#include "sim/import/site_rewrite.h"
#include "sim/report/fit_files.h"

namespace sim {
namespace {

std::string comment_of(const FittedValue& value, const SurveyFit& fit) {
  return "kerbray fit: " + value_sentence(value, fit.confidence);
}

NewNumber number(double value, int decimals, const std::string& comment) {
  return {fmt::format("{:.{}f}", value, decimals), comment};
}

double compass(double degrees) {
  const double wrapped = std::fmod(degrees, 360.0);
  return wrapped < 0.0 ? wrapped + 360.0 : wrapped;
}

void add_value(const FittedValue& value, const SurveyFit& fit, const Scene& scene,
               SiteChanges& changes) {
  const Unknown& u = value.unknown;
  const std::string comment = comment_of(value, fit);
  const Defaults& d = scene.conditions.defaults;
  switch (u.quantity) {
    case FitQuantity::azimuth:
      changes.sectors[{u.node, u.sector}]["azimuth_deg"] = number(compass(value.value), 2, comment);
      break;
    case FitQuantity::downtilt:
      changes.sectors[{u.node, u.sector}]["downtilt_deg"] = number(value.value, 2, comment);
      break;
    case FitQuantity::eirp:
      for (std::size_t s = 0; s < fit.site_nodes[u.node].sectors.size(); ++s) {
        if (!u.whole_node && s != u.sector) continue;
        const double dbm = fit.site_nodes[u.node].sectors[s].eirp.value + value.value;
        changes.sectors[{u.node, s}]["eirp_dbm"] = number(dbm, 2, comment);
      }
      break;
    case FitQuantity::foliage_scale:
      changes.thresholds["foliage_scale"] = number(value.value, 3, comment);
      break;
    case FitQuantity::vehicle_offset:
      changes.thresholds["vehicle_offset_db"] = number(value.value, 2, comment);
      break;
    case FitQuantity::body_loss:
      changes.thresholds["body_loss_db"] = number(value.value, 2, comment);
      break;
    case FitQuantity::drop_level: {
      changes.thresholds["drop_rsrp_dbm"] = number(value.value, 2, comment);
      const double hysteresis = d("hold_rsrp_dbm") - d("drop_rsrp_dbm");
      changes.thresholds["hold_rsrp_dbm"] =
          number(value.value + hysteresis, 2, "kerbray fit: moved with the level of the drop");
      break;
    }
  }
}

}  // namespace

std::string fitted_site(const ImportedSite& imported, const Scene& scene, const SurveyFit& fit,
                        const Stamp& stamp) {
  SiteChanges changes;
  changes.heading = fmt::format(
      "Written by kerbray {} fit from {}, which is as it was.\nFitted to {} rows with a "
      "level and {} that only say connected or lost. {}\nFitted values carry where they "
      "came from on the line above.\n",
      stamp.version, imported.site.file, fit.levels, fit.bounds, error_sentence(fit));
  for (const FittedValue& value : fit.values) {
    if (!value.held) add_value(value, fit, scene, changes);
  }
  for (const std::string& sentence : held_sentences(fit)) changes.heading += sentence + "\n";
  if (fit.position && fit.position->moved) {
    const NodeIndex node = fit.position->node;
    const MapPoint at = scene.frame.map_from_scene(scene.nodes[node].position);
    changes.nodes[node] = {{at.x_m, at.y_m},
                           "kerbray fit: on pole " + fit.position->ranking.front().place.id};
  }
  return rewritten_site(imported, changes);
}

}  // namespace sim
