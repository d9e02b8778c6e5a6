#include "sim/report/cautions.h"
#include "sim/report/compare_charts.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/fit_sentences.h"
#include "sim/report/svg_text.h"
#include "sim/view/answers.h"
#include "sim/view/parts.h"

namespace sim {

std::string text_of(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json comparison_view(const Comparison& comparison) {
  Json charts = Json::array();
  for (const NamedChart& chart : compare_charts(comparison)) {
    charts.push_back({{"title", chart.title},
                      {"svg", inline_svg(chart.drawing, "compare-" + chart.name + "-", chart.title,
                                         chart.description)}});
  }
  Json warnings = Json::array();
  for (const CompareWarning& warning : comparison.warnings) warnings.push_back(warning.text);
  return {{"by", comparison.by},
          {"sentences", verdict_sentences(comparison, LengthUnits::metric)},
          {"warnings", std::move(warnings)},
          {"charts", std::move(charts)}};
}

Json fitted_view(const PageAnswers& answers) {
  Json list = Json::array();
  if (!answers.not_fitted.empty()) {
    list.push_back(text_json([&](LengthUnits) { return answers.not_fitted; }));
  }
  if (answers.fit == nullptr) return list;
  const auto metric = fit_sentences(answers.scene, *answers.fit, LengthUnits::metric);
  const auto imperial = fit_sentences(answers.scene, *answers.fit, LengthUnits::imperial);
  for (std::size_t i = 0; i < metric.size(); ++i) {
    list.push_back({{"metric", metric[i]}, {"imperial", imperial[i]}});
  }
  return list;
}

namespace {

Json survey_view(const PageAnswers& answers) {
  if (answers.explanation == nullptr) {
    return {
        {"points", Json::array()}, {"measured_drops", Json::array()}, {"suspects", Json::array()}};
  }
  return {{"points", points_view(answers.scene, *answers.explanation, answers.options)},
          {"measured_drops", measured_drops_view(answers.scene, *answers.explanation)},
          {"suspects", suspects_view(answers.scene, *answers.explanation)}};
}

}  // namespace

std::string edited_answers_json(const PageAnswers& answers) {
  Json json{{"verdicts", verdicts_view(answers)},
            {"about", about_view(answers)},
            {"sources", sources_view(answers)},
            {"drops", Json::array()},
            {"runs", Json::array()}};
  json.update(survey_view(answers));
  if (answers.walks != nullptr && answers.streets != nullptr) {
    json["drops"] = drops_view(answers.scene, *answers.streets);
    json["runs"] = runs_view(answers.scene, *answers.walks);
  }
  return text_of(json);
}

std::string answers_json(const PageAnswers& answers) {
  const Scene& scene = answers.scene;
  Json json{{"format", 1},
            {"version", answers.stamp.version},
            {"site", answers.stamp.site_name},
            {"units", answers.units == LengthUnits::metric ? "metric" : "imperial"},
            {"live", answers.live},
            {"phone_height_m", answers.options.receiver_height_agl_m},
            {"verdicts", verdicts_view(answers)},
            {"about", about_view(answers)},
            {"assumptions", assumptions_view(scene)},
            {"scene", scene_view(scene, answers.imported)},
            {"prediction", nullptr},
            {"fitted", fitted_view(answers)},
            {"comparison", nullptr},
            {"quality", quality_view(answers)},
            {"sources", sources_view(answers)},
            {"cautions", cautions},
            {"attribution", attribution_view(answers.imported, scene)}};
  if (answers.grid != nullptr && answers.walks != nullptr && answers.streets != nullptr) {
    json["prediction"] = prediction_view(scene, *answers.grid, *answers.walks, *answers.streets);
  }
  json.update(survey_view(answers));
  if (answers.asked != nullptr) {
    for (Json& point : asked_view(scene, *answers.asked))
      json["points"].push_back(std::move(point));
  }
  if (answers.comparison != nullptr) json["comparison"] = comparison_view(*answers.comparison);
  return text_of(json);
}

}  // namespace sim
