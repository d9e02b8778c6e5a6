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

/// Everything about a site, worked out.
class Answered {
 public:
  Answered(const StandingSite& site, std::shared_ptr<const PredictionGrid> grid,
           const LiveSettings& live)
      : grid_(std::move(grid)),
        page_{.imported = site.imported(),
              .scene = site.scene(),
              .options = live.options,
              .stamp = live.stamp,
              .units = live.units,
              .live = true} {
    if (!site.scene().nodes.empty()) {
      if (!grid_) {
        grid_ = std::make_shared<const PredictionGrid>(
            predict_grid(site.caster(), site.settings(), live.options));
      }
      walks_ = walk_streets(site.caster(), site.settings(), live.options);
      streets_ = judge_walks(site.scene(), walks_, site.settings());
      page_.grid = grid_.get();
      page_.walks = &walks_;
      page_.streets = &streets_;
      add_sampled(site, live.options);
    }
    if (!site.imported().site.surveys.empty()) {
      survey_ = read_surveys(site.imported());
      explanation_ = explain(site.caster(), survey_, site.settings(), live.options, live.units);
      page_.survey = &survey_;
      page_.explanation = &explanation_;
    }
  }
  Answered(const Answered&) = delete;
  Answered& operator=(const Answered&) = delete;

  const PageAnswers& page() const { return page_; }

 private:
  /// Links in the middle of the drops: what their terms name is what the prediction rests on.
  void add_sampled(const StandingSite& site, const PredictOptions& options) {
    constexpr std::size_t most = 50;
    for (const DropStretch& drop : streets_.drops) {
      if (drop.line.empty() || page_.sampled.size() >= most) continue;
      Receiver receiver{.position = drop.line[drop.line.size() / 2]};
      receiver.position.z_m += options.receiver_height_agl_m;
      for (LinkResult& link :
           point_links(site.caster(), receiver, site.settings(), options.radius_m)) {
        page_.sampled.push_back(std::move(link));
      }
    }
  }

  std::shared_ptr<const PredictionGrid> grid_;
  std::vector<StreetWalk> walks_;
  StreetVerdicts streets_;
  Survey survey_;
  Explanation explanation_;
  PageAnswers page_;
};

}  // namespace

std::string whole_answer(const StandingSite& site, const LiveSettings& live) {
  return answers_json(Answered(site, nullptr, live).page());
}

std::string edited_answer(const StandingSite& site, std::shared_ptr<const PredictionGrid> grid,
                          const LiveSettings& live) {
  return edited_answers_json(Answered(site, std::move(grid), live).page());
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
