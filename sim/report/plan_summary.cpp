#include <cmath>

#include "sim/report/cautions.h"
#include "sim/report/plan_files.h"
#include "sim/report/plan_words.h"
#include "sim/report/summary_parts.h"

namespace sim {

std::string plan_summary_json(const ImportedSite& imported, const Scene& scene, const Plan& plan,
                              const Stamp& stamp) {
  Json json = head_of(stamp, scene);
  json["nodes"] = nodes_of(scene);
  json["step_m"] = plan.step_m;
  json["reach_m"] = plan.reach_m;
  json["chosen_from"] = plan.chosen_from > 0 ? Json(plan.chosen_from) : Json(nullptr);
  Json kinds = Json::object();
  for (const PlannedPosition& p : plan.positions) {
    const std::string kind(to_string(p.kind));
    kinds[kind] = kinds.value(kind, 0) + 1;
  }
  json["positions"] = plan.positions.size();
  json["kinds"] = kinds;
  const Route& r = plan.route;
  json["walk"] = {{"length_m", rounded(r.length_m, 1)},
                  {"climb_m", rounded(r.climb_m, 1)},
                  {"walking_s", rounded(r.walking_s, 0)},
                  {"reading_s", rounded(r.reading_s, 0)},
                  {"off_street_m", rounded(r.off_street_m, 1)}};
  Json placed = Json::object();
  for (const PlannedPosition& p : plan.positions) {
    const std::string& how = p.at.stand.placed_by;
    placed[how] = placed.value(how, 0) + 1;
  }
  json["footway_known_by"] = placed;
  Json list = Json::array();
  for (const PlannedPosition& p : plan.positions) {
    list.push_back({{"place", p.id},
                    {"kind", to_string(p.kind)},
                    {"node", scene.nodes[p.at.node].id},
                    {"street", p.street},
                    {"along_street_m", rounded(p.at.along_street_m, 1)},
                    {"expect", expected_text(p)},
                    {"margin_m", p.at.sight ? rounded(p.margin.margin_m, 1) : Json(nullptr)},
                    {"repeats", p.repeats},
                    {"why", p.why},
                    {"caution", p.note}});
  }
  json["places"] = list;
  Json gaps = Json::array();
  for (const StreetGap& gap : plan.gaps) {
    Json reasons = Json::array();
    for (const StreetGap::Reason& reason : gap.reasons) {
      reasons.push_back(
          {{"steps", reason.count}, {"because", reason.words}, {"things", reason.things}});
    }
    gaps.push_back({{"street", gap.street},
                    {"node", scene.nodes[gap.node].id},
                    {"steps", gap.steps},
                    {"planned", gap.kept},
                    {"left_out", reasons}});
  }
  json["streets"] = gaps;
  json["notes"] = plan.notes;
  json["layers"] = layer_counts(imported.report);
  json["issues"] = issues_of(imported.report.issues);
  json["defaults"] = defaults_of(scene);
  json["cautions"] = cautions;
  return json.dump(2) + "\n";
}

}  // namespace sim
