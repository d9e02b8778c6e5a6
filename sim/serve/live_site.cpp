#include "sim/serve/live_site.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "sim/base/parallel.h"
#include "sim/serve/saved_site.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

/// More cells than this, about all nodes together, are too many to be answered while a hand moves.
constexpr double most_cells = 500'000.0;

/// Those of the site, with cells so large that there are not too many.
LiveSettings affordable(LiveSettings live, const std::vector<NodeRecord>& nodes) {
  if (nodes.empty()) return live;
  const auto [west, east] = std::minmax_element(
      nodes.begin(), nodes.end(),
      [](const NodeRecord& a, const NodeRecord& b) { return a.place.x < b.place.x; });
  const auto [south, north] = std::minmax_element(
      nodes.begin(), nodes.end(),
      [](const NodeRecord& a, const NodeRecord& b) { return a.place.y < b.place.y; });
  PredictOptions& options = live.options;
  const double wide_m = east->place.x - west->place.x + 2.0 * options.radius_m;
  const double high_m = north->place.y - south->place.y + 2.0 * options.radius_m;
  while (wide_m * high_m > most_cells * options.spacing_m * options.spacing_m) {
    options.spacing_m *= 2.0;
  }
  return live;
}

/// A folder for one file, gone with it.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "kerbray_survey_XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) {
      throw InputError({pattern, "", -1}, "no temporary folder can be made");
    }
    path_ = pattern;
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

/// The name of a survey as a file name of ours: what it is called, and nothing of where it lay.
std::string survey_file_name(const std::string& name) {
  constexpr std::size_t longest = 80;
  std::string sound;
  for (const char c : fs::path(name).stem().string().substr(0, longest)) {
    const auto u = static_cast<unsigned char>(c);
    sound += u >= 0x80 || std::isalnum(u) != 0 || c == '_' || c == '-' || c == ' ' ? c : '_';
  }
  return (sound.empty() ? "survey" : sound) + ".csv";
}

/// A message about the file, without the folder that is no one's business.
std::string without_folder(std::string text, const fs::path& folder) {
  const std::string prefix = folder.string() + "/";
  for (auto at = text.find(prefix); at != std::string::npos; at = text.find(prefix, at)) {
    text.erase(at, prefix.size());
  }
  return text;
}

/// The best link of the sectors that are asked for.
std::optional<ReceiverRow> best_link(const StandingSite& site, const LinkQuestion& question,
                                     const PredictOptions& options) {
  const Scene& scene = site.scene();
  constexpr double lowest_m = 0.05, highest_m = 500.0;
  if (!(question.height_agl_m >= lowest_m && question.height_agl_m <= highest_m)) {
    throw InputError({"request", "", -1}, fmt::format("height_agl_m must lie between {:g} and {:g}",
                                                      lowest_m, highest_m));
  }
  if (question.node && *question.node >= scene.nodes.size()) {
    throw InputError({"request", "", -1}, fmt::format("node {} of {}: they count from 0",
                                                      *question.node, scene.nodes.size()));
  }
  const MapPoint place{question.x_m + scene.frame.origin.x_m, question.y_m + scene.frame.origin.y_m,
                       0.0};
  const auto point =
      receiver_point(scene, "", place, question.height_agl_m, scene.conditions.receiver_context);
  if (!point) return std::nullopt;
  std::optional<ReceiverRow> best;
  for (LinkResult& link :
       point_links(site.caster(), point->receiver, site.settings(), options.radius_m)) {
    if (question.node && link.node != *question.node) continue;
    if (question.sector && link.sector != *question.sector) continue;
    if (!best || link.rsrp > best->link.rsrp) best = ReceiverRow{*point, std::move(link)};
  }
  return best;
}

}  // namespace

LiveSite::LiveSite(ImportedSite imported, LiveSettings live)
    : live_(affordable(std::move(live), imported.nodes)),
      sites_(std::move(imported), live_.options.spacing_m) {
  sites_.with({});  // so that the first question need not wait
}

std::uint64_t LiveSite::came(const std::vector<Edit>& edits) {
  const std::lock_guard lock(mutex_);
  if (edits != edits_) {
    edits_ = edits;
    ++newest_edits_;
  }
  return newest_edits_;
}

template <class Answer>
std::optional<std::string> LiveSite::unless_overtaken(const std::vector<Edit>& edits,
                                                      const Answer& answer) {
  const std::uint64_t turn = came(edits);
  const StandingSites::Hold site = sites_.with(edits);
  const StopWhen overtaken([this, turn] { return stopped_ || newest_edits_ != turn; });
  try {
    return answer(*site);
  } catch (const Stopped&) {
    return std::nullopt;
  }
}

std::shared_ptr<const PredictionGrid> LiveSite::last_map_of(const std::vector<Edit>& edits) {
  const std::lock_guard lock(mutex_);
  return last_map_.edits == edits ? last_map_.grid : nullptr;
}

const std::string& LiveSite::answers() {
  std::call_once(answered_once_, [&] { answers_ = whole_answer(*sites_.with({}), live_); });
  return answers_;
}

std::optional<std::string> LiveSite::edited_answers(const SiteQuestion& question) {
  return unless_overtaken(question.edits, [&](const StandingSite& site) {
    return edited_answer(site, last_map_of(question.edits), live_);
  });
}

std::string LiveSite::scene(const SiteQuestion& question) {
  came(question.edits);
  return scene_answer(*sites_.with(question.edits));
}

std::string LiveSite::link(const LinkQuestion& question) {
  came(question.edits);
  const StandingSites::Hold site = sites_.with(question.edits);
  const auto row = best_link(*site, question, live_.options);
  return link_answer(*site, row ? &*row : nullptr);
}

std::optional<std::string> LiveSite::survey(const SurveyQuestion& question) {
  const Folder folder;
  const fs::path file = folder.path() / survey_file_name(question.name);
  std::ofstream(file, std::ios::binary) << question.text;
  SurveySettings settings;
  settings.file = file.string();
  const auto explained = [&](const StandingSite& site) {
    ImportedSite with_survey = site.imported();
    with_survey.site.surveys = {settings};
    const Survey survey = read_surveys(with_survey);
    const Explanation explanation =
        explain(site.caster(), survey, site.settings(), live_.options, live_.units);
    std::vector<std::string> remarks;
    remarks.reserve(survey.issues.size());
    for (const Issue& issue : survey.issues) {
      remarks.push_back(
          without_folder(to_string(issue.where) + ": " + issue.message, folder.path()));
    }
    return survey_answer(site, explanation, remarks, live_);
  };
  try {
    return unless_overtaken(question.edits, explained);
  } catch (const InputError& problem) {
    throw InputError({}, without_folder(problem.what(), folder.path()));
  }
}

std::string LiveSite::save(const SaveQuestion& question) {
  const SavedSite saved = save_site(sites_.unedited(), question.edits, question.name);
  nlohmann::ordered_json answer{{"file", saved.file}, {"things", nullptr}};
  if (saved.things) answer["things"] = *saved.things;
  return answer.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

void LiveSite::keep(const std::vector<Edit>& edits, const PredictionGrid& grid) {
  auto copy = std::make_shared<const PredictionGrid>(grid);
  const std::lock_guard lock(mutex_);
  last_map_ = {.edits = edits, .grid = std::move(copy)};
}

LiveSite::Map::Map(LiveSite& live, const std::vector<Edit>& edits, Turn turn)
    : live_(live),
      asked_(std::chrono::steady_clock::now()),
      edits_(edits),
      turn_(turn),
      site_(live.sites_.with(edits)) {}

std::unique_ptr<LiveSite::Map> LiveSite::map(const SiteQuestion& question) {
  const std::uint64_t of_edits = came(question.edits);
  return std::make_unique<Map>(*this, question.edits,
                               Turn{.edits = of_edits, .map = ++newest_map_});
}

bool LiveSite::Map::send(const ByteSink& sink) {
  const auto stopped = [&] {
    return live_.stopped_ || live_.newest_map_ != turn_.map || live_.newest_edits_ != turn_.edits;
  };
  const MapTask task{site_->caster(), site_->footprints(), site_->lattice(), site_->settings(),
                     live_.live_.options};
  const auto show = [&](const MapFrame& frame) {
    if (stopped()) return false;
    const std::string edges = frame.final ? edges_answer(*site_, frame.grid) : "[]";
    const std::chrono::duration<double, std::milli> elapsed =
        std::chrono::steady_clock::now() - asked_;
    if (!write_frame(frame, site_->scene().frame, elapsed.count(), edges, sink)) return false;
    if (frame.final) live_.keep(edits_, frame.grid);
    return true;
  };
  return predict_coarse_to_fine(task, show, stopped);
}

}  // namespace sim
