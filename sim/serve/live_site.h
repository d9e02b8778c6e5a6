// What the live view asks, answered for the site as edited. Knows nothing of HTTP.
#pragma once

#include <atomic>
#include <chrono>
#include <memory>
#include <mutex>

#include "sim/serve/answers_of.h"
#include "sim/serve/frames.h"
#include "sim/serve/questions.h"

namespace sim {

/// Every question carries all its edits. May be asked from any thread; one map is answered at a
/// time, and the newest question goes before those that run. Every answer is JSON; questions that
/// cannot be answered throw InputError.
class LiveSite {
 public:
  /// Throws InputError where the site itself cannot stand.
  LiveSite(ImportedSite imported, LiveSettings live);

  /// Of the site without edits. Worked out once.
  const std::string& answers();
  std::string scene(const SiteQuestion& question);
  std::string link(const LinkQuestion& question);
  std::string survey(const SurveyQuestion& question);
  std::string save(const SaveQuestion& question);

  /// A map that is ready to be sent. Holds its site until it is destroyed.
  class Map {
   public:
    Map(LiveSite& live, const std::vector<Edit>& edits, std::uint64_t turn);
    /// Sends frame after frame; ends early when the sink does, or when a question came that makes
    /// this one stale. True when the final frame was sent.
    bool send(const ByteSink& sink);

   private:
    LiveSite& live_;
    std::chrono::steady_clock::time_point asked_;
    std::uint64_t turn_;
    StandingSites::Hold site_;
  };
  std::unique_ptr<Map> map(const SiteQuestion& question);

  /// Ends maps that run and lets none begin.
  void stop() { stopped_ = true; }

 private:
  /// A question about another site than the running map's makes that map stale.
  void came(const std::vector<Edit>& edits);

  LiveSettings live_;
  StandingSites sites_;
  std::once_flag answered_once_;
  std::string answers_;
  std::atomic<bool> stopped_{false};
  std::atomic<std::uint64_t> newest_turn_{0};
  std::mutex map_edits_mutex_;
  std::vector<Edit> map_edits_;
};

}  // namespace sim
