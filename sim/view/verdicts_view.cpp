// What is said first: how far each street holds, where it drops, and what nobody can explain.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/wording.h"
#include "sim/report/cautions.h"
#include "sim/report/street_verdicts.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

/// More sentences than this are no verdict; the rest stands in the tables.
constexpr std::size_t most_streets = 6;

Json verdict(std::string_view kind, Json text, Json place = nullptr) {
  return {{"kind", kind}, {"text", std::move(text)}, {"place", std::move(place)}};
}

Json same_in_both(const std::string& words) {
  return text_json([&](LengthUnits) { return words; });
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

/// Where the reach ends on the ground.
Json end_of(const StreetReach& reach, const std::vector<StreetWalk>& walks) {
  for (const StreetWalk& walk : walks) {
    if (walk.street_id != reach.side.street_id || name_of(walk) != reach.side.street) continue;
    const double along_m = reach.side.forward ? reach.to_m : -reach.to_m;
    const auto nearest = std::min_element(
        walk.stations.begin(), walk.stations.end(), [&](const Station& a, const Station& b) {
          return std::abs(a.along_m - along_m) < std::abs(b.along_m - along_m);
        });
    if (nearest == walk.stations.end()) return nullptr;
    return {rounded(nearest->place.x_m, 1), rounded(nearest->place.y_m, 1)};
  }
  return nullptr;
}

void say_streets(const PageAnswers& answers, Json& list) {
  const auto reaches = reaches_in_order(*answers.streets, true);
  for (std::size_t i = 0; i < std::min(most_streets, reaches.size()); ++i) {
    const StreetReach& reach = *reaches[i];
    const auto sentence = [&](LengthUnits units) {
      return upper_first(verdict_text(answers.scene, reach, answers.streets->drops, units)) + ".";
    };
    list.push_back(verdict(reach.holds ? "holds" : "drops", text_json(sentence),
                           reach.holds ? end_of(reach, *answers.walks) : Json(nullptr)));
  }
  if (reaches.size() > most_streets) {
    list.push_back(verdict(
        "note", same_in_both(counted(reaches.size() - most_streets, "more side of a street holds",
                                     "more sides of streets hold") +
                             " the link somewhere: see the streets below.")));
  }
  if (reaches.empty() && !answers.scene.streets.empty()) {
    list.push_back(verdict("drops", same_in_both("No street within the radius holds the link.")));
  }
}

/// Of the cells with an answer that no building stands on.
void say_area(const PageAnswers& answers, Json& list) {
  const auto& state = answers.grid->band("state").values;
  std::size_t answered = 0, held = 0;
  for (const float value : state) {
    if (std::isnan(value)) continue;
    ++answered;
    held += value > 1.5F ? 1U : 0U;
  }
  if (answered == 0) return;
  const double share = 100.0 * static_cast<double>(held) / static_cast<double>(answered);
  const auto sentence = [&](LengthUnits units) {
    return fmt::format("Of the open ground within {} of a node, the link should hold on {:.0f} %.",
                       length_text(answers.options.radius_m, units), share);
  };
  list.push_back(verdict("note", text_json(sentence)));
  if (!(answers.scene.conditions.defaults("reflections") > 0.0)) {
    list.push_back(verdict("note", same_in_both(std::string(without_reflections_caution))));
  }
}

/// Where walks lost the link, and whether it is the same places that drop: needs no node.
void say_walks(const Explanation& explanation, Json& list) {
  if (explanation.drops.empty()) return;
  double lost_m = 0.0;
  for (const ExplainedDrop& drop : explanation.drops) lost_m += drop.walked_m;
  std::size_t again = 0, always = 0;
  for (const WalkedPlace& place : explanation.walked_places) {
    if (place.passes.size() < 2) continue;
    ++again;
    always += place.dropped() == place.passes.size() ? 1U : 0U;
  }
  const auto sentence = [&](LengthUnits units) {
    std::string text = fmt::format("The walks lost the link on {}, {} together.",
                                   counted(explanation.drops.size(), "stretch", "stretches"),
                                   length_text(lost_m, units));
    if (again > 0) {
      text +=
          fmt::format(" Of {} walked more than once, each {} long, {} dropped every time.",
                      counted(again, "place", "places"), length_text(walked_cell_m, units), always);
    }
    return text;
  };
  list.push_back(verdict("drops", text_json(sentence)));
}

void say_survey(const PageAnswers& answers, Json& list) {
  const Explanation& explanation = *answers.explanation;
  std::size_t unexplained = 0, placed = 0;
  for (const ExplainedPoint& point : explanation.points) {
    if (!point.link) continue;
    ++placed;
    unexplained += point.cause == Cause::unmapped ? 1U : 0U;
  }
  if (placed == 0 && answers.scene.nodes.empty()) return;  // that is said already
  if (placed == 0) {
    list.push_back(verdict(
        "note", same_in_both("No measured point lies within reach of a known node, so none can be "
                             "explained.")));
    return;
  }
  list.push_back(verdict(
      "unexplained",
      same_in_both(unexplained == 0
                       ? fmt::format("The map explains {}.",
                                     placed == 1 ? "the one measured point"
                                                 : fmt::format("all {} measured points", placed))
                       : fmt::format("{} of {} unexplained by the map.", unexplained,
                                     counted(placed, "measured point is",
                                             unexplained == 1 ? "measured points is"
                                                              : "measured points are")))));
  if (explanation.compared > 0) {
    list.push_back(verdict(
        "note",
        same_in_both(fmt::format(
            "Measured levels lie {:+.1f} dB from those predicted (median of {}; spread "
            "{:.1f} dB).",
            explanation.median_residual_db + 0.0, counted(explanation.compared, "row", "rows"),
            explanation.residual_spread_db))));
  }
}

}  // namespace

Json verdicts_view(const PageAnswers& answers) {
  Json list = Json::array();
  if (answers.scene.nodes.empty()) {
    list.push_back(verdict("note", same_in_both("No node is known in this site, so nothing is "
                                                "predicted and no cause can be named.")));
  }
  if (answers.streets != nullptr && answers.walks != nullptr) say_streets(answers, list);
  if (answers.grid != nullptr) say_area(answers, list);
  if (answers.explanation != nullptr) {
    say_walks(*answers.explanation, list);
    say_survey(answers, list);
    for (const Json& suspect : suspects_view(answers.scene, *answers.explanation)) {
      if (!suspect["enough_evidence"].get<bool>()) continue;
      list.push_back(
          verdict("unexplained", suspect["sentence"], {suspect["place"][0], suspect["place"][1]}));
    }
  }
  return list;
}

std::string verdicts_json(const PageAnswers& answers) { return text_of(verdicts_view(answers)); }

std::vector<std::string> verdict_lines(const PageAnswers& answers) {
  std::vector<std::string> lines;
  for (const Json& one : verdicts_view(answers)) {
    lines.push_back(one["text"][answers.units == LengthUnits::metric ? "metric" : "imperial"]);
  }
  return lines;
}

}  // namespace sim
