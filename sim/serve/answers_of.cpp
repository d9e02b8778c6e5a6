#include "sim/serve/answers_of.h"

#include <nlohmann/json.hpp>

#include "sim/view/answers.h"

namespace sim {
namespace {

using Json = nlohmann::ordered_json;

std::string text_of_json(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// What is said where nothing reaches.
Json no_link() {
  constexpr const char* words = "No node reaches this place: it is too far off, or off the ground.";
  return {{"metric", words}, {"imperial", words}};
}

}  // namespace

std::string whole_answer(const StandingSite& site, const LiveSettings& live) {
  PageAnswers answers{.imported = site.imported(),
                      .scene = site.scene(),
                      .options = live.options,
                      .stamp = live.stamp,
                      .units = live.units,
                      .live = true};
  PredictionGrid grid;
  std::vector<StreetWalk> walks;
  StreetVerdicts streets;
  if (!site.scene().nodes.empty()) {
    grid = predict_grid(site.caster(), site.settings(), live.options);
    walks = walk_streets(site.caster(), site.settings(), live.options);
    streets = judge_walks(site.scene(), walks, site.settings());
    answers.grid = &grid;
    answers.walks = &walks;
    answers.streets = &streets;
  }
  Survey survey;
  Explanation explanation;
  if (!site.imported().site.surveys.empty()) {
    survey = read_surveys(site.imported());
    explanation = explain(site.caster(), survey, site.settings(), live.options, live.units);
    answers.survey = &survey;
    answers.explanation = &explanation;
  }
  return answers_json(answers);
}

std::string scene_answer(const StandingSite& site) {
  return scene_json(site.scene(), site.imported());
}

std::string link_answer(const StandingSite& site, const ReceiverRow* row) {
  Json answer{{"ledger", nullptr}, {"sentence", no_link()}};
  if (row != nullptr) {
    answer["ledger"] = Json::parse(ledger_json(site.scene(), *row));
    answer["sentence"] = Json::parse(link_sentence_json(site.scene(), row->link));
  }
  return text_of_json(answer);
}

std::string survey_answer(const StandingSite& site, const Explanation& explanation,
                          const std::vector<std::string>& remarks, const LiveSettings& live) {
  return text_of_json(
      {{"points", Json::parse(points_json(site.scene(), explanation, live.options))},
       {"suspects", Json::parse(suspects_json(site.scene(), explanation))},
       {"remarks", remarks}});
}

std::string edges_answer(const StandingSite& site, const PredictionGrid& grid) {
  if (grid.spec.size() == 0) return "[]";
  return edges_json(site.scene(), grid);
}

}  // namespace sim
