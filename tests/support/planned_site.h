// An invented site with streets, and a plan of it.
#pragma once

#include <memory>
#include <string>

#include "sim/plan/plan.h"
#include "tests/support/street.h"

namespace sim::test {

/// Owns everything a plan looks at.
struct PlannedSite {
  explicit PlannedSite(const ImportedSite& site, const PlanOptions& wanted = {},
                       const WalkingMap& walking = {})
      : street(site), map(walking), options(wanted) {
    plan = make_plan(street.imported, map, street.caster, options, nullptr);
  }
  const PlannedPosition* with_kind(PositionKind kind) const {
    for (const PlannedPosition& p : plan.positions) {
      if (p.kind == kind) return &p;
    }
    return nullptr;
  }
  std::size_t count(PositionKind kind) const {
    std::size_t n = 0;
    for (const PlannedPosition& p : plan.positions) n += p.kind == kind ? 1U : 0U;
    return n;
  }
  bool notes_say(const std::string& words) const {
    for (const std::string& note : plan.notes) {
      if (note.find(words) != std::string::npos) return true;
    }
    return false;
  }

  Street street;
  WalkingMap map;
  PlanOptions options;
  Plan plan;
};

/// One isotropic node over the west end of a straight street 300 m long, without anything else.
inline ImportedSite straight_street(double eirp_dbm = 30.0) {
  ImportedSite site = isotropic_site(6.0);
  site.nodes[0].sectors[0].eirp = Dbm(eirp_dbm);
  site.streets.push_back(
      {.id = "way 1", .name = "Long Street", .line = {{0, 0}, {300, 0}}, .source = {}});
  return site;
}

}  // namespace sim::test
