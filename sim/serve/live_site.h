// What the live view asks, answered for the site as edited. Knows nothing of HTTP.
#pragma once

#include <atomic>
#include <chrono>
#include <memory>
#include <mutex>
#include <optional>

#include "sim/serve/answers_of.h"
#include "sim/serve/frames.h"
#include "sim/serve/questions.h"

namespace sim {

/// Every question carries all its edits. May be asked from any thread; one map is answered at a
/// time, and the newest question goes before those that run: a question about a site edited in
/// another way ends them. Every answer is JSON; questions that cannot be answered throw InputError.
class LiveSite {
 public:
  /// Throws InputError where the site itself cannot stand.
  LiveSite(ImportedSite imported, LiveSettings live);

  /// Of the site without edits. Worked out once.
  const std::string& answers();
  /// Of the site as edited; nullopt when a newer question ended it.
  std::optional<std::string> edited_answers(const SiteQuestion& question);
  std::string scene(const SiteQuestion& question);
  std::string link(const LinkQuestion& question);
  /// nullopt when a newer question ended it.
  std::optional<std::string> survey(const SurveyQuestion& question);
  std::string save(const SaveQuestion& question);

  /// Which of the questions it is: those with a lower number are stale.
  struct Turn {
    std::uint64_t edits = 0, map = 0;
  };
  /// A map that is ready to be sent. Holds its site until it is destroyed.
  class Map {
   public:
    Map(LiveSite& live, const std::vector<Edit>& edits, Turn turn);
    /// Sends frame after frame; ends early when the sink does, or when a question came that makes
    /// this one stale. True when the final frame was sent.
    bool send(const ByteSink& sink);

   private:
    LiveSite& live_;
    std::chrono::steady_clock::time_point asked_;
    std::vector<Edit> edits_;
    Turn turn_;
    StandingSites::Hold site_;
  };
  std::unique_ptr<Map> map(const SiteQuestion& question);

  /// Ends maps that run and lets none begin.
  void stop() { stopped_ = true; }

 private:
  /// Notes a question's edits. Those that run for other edits are stale from then on; gives the
  /// number that tells.
  std::uint64_t came(const std::vector<Edit>& edits);
  /// Runs `answer`, which is stopped when a question with other edits comes.
  template <class Answer>
  std::optional<std::string> unless_overtaken(const std::vector<Edit>& edits, const Answer& answer);
  void keep(const std::vector<Edit>& edits, const PredictionGrid& grid);
  std::shared_ptr<const PredictionGrid> last_map_of(const std::vector<Edit>& edits);

  LiveSettings live_;
  StandingSites sites_;
  std::once_flag answered_once_;
  std::string answers_;
  std::atomic<bool> stopped_{false};
  std::atomic<std::uint64_t> newest_edits_{0}, newest_map_{0};
  std::mutex mutex_;  ///< of what follows
  std::vector<Edit> edits_;
  /// The last map that was finished, so that its verdicts need not work it out again.
  struct LastMap {
    std::vector<Edit> edits;
    std::shared_ptr<const PredictionGrid> grid;
  } last_map_;
};

}  // namespace sim
