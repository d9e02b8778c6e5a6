#include "sim/serve/standing_sites.h"

#include <algorithm>

namespace sim {

StandingSite::StandingSite(ImportedSite imported, double spacing_m)
    : imported_(std::move(imported)),
      scene_(build_scene(imported_, imported_.report)),
      caster_(scene_),
      footprints_(scene_),
      lattice_(scene_, footprints_, spacing_m),
      settings_(link_settings(scene_)) {}

void StandingSite::change(NodesAndWeather now) {
  std::swap(imported_.nodes, now.nodes);
  try {
    scene_.nodes = standing_nodes(imported_, scene_, footprints_);
  } catch (...) {
    std::swap(imported_.nodes, now.nodes);
    throw;
  }
  imported_.site.leaf_on = scene_.conditions.leaf_on = now.leaf_on;
  imported_.site.rain_mm_per_h = scene_.conditions.rain_mm_per_h = now.rain_mm_per_h;
  settings_ = link_settings(scene_);
}

StandingSites::StandingSites(ImportedSite imported, double spacing_m)
    : unedited_(std::move(imported)), spacing_m_(spacing_m) {}

StandingSites::~StandingSites() = default;

StandingSites::Hold::~Hold() {
  {
    const std::lock_guard lock(sites_->mutex_);
    --kept_->held;
  }
  sites_->returned_.notify_all();
}

const StandingSite& StandingSites::Hold::operator*() const { return *kept_->site; }

StandingSites::Kept& StandingSites::with_things(const std::vector<Edit>& edits,
                                                std::vector<Edit> things) {
  const auto found = std::find_if(kept_.begin(), kept_.end(),
                                  [&](const Kept& kept) { return kept.things == things; });
  if (found != kept_.end()) {
    kept_.splice(kept_.begin(), kept_, found);
    return kept_.front();
  }
  for (auto last = kept_.end(); kept_.size() >= most_kept && last != kept_.begin();) {
    if ((--last)->held == 0) last = kept_.erase(last);
  }
  // With the nodes as the site has them: those of the edits come by change(), as always.
  ImportedSite imported = unedited_;
  apply_to_things(imported, edits);
  auto site = std::make_unique<StandingSite>(std::move(imported), spacing_m_);
  kept_.push_front({.things = std::move(things), .others = {}, .site = std::move(site)});
  return kept_.front();
}

StandingSites::Hold StandingSites::with(const std::vector<Edit>& edits) {
  std::vector<Edit> things, others;
  for (const Edit& edit : edits) (changes_what_stands(edit) ? things : others).push_back(edit);
  std::unique_lock lock(mutex_);
  for (;;) {
    Kept& kept = with_things(edits, things);
    if (kept.others != others) {
      if (kept.held > 0) {
        returned_.wait(lock);
        continue;  // it may have been put away in the meantime
      }
      kept.site->change(nodes_and_weather(unedited_, edits));
      kept.others = std::move(others);
    }
    ++kept.held;
    return {*this, kept};
  }
}

}  // namespace sim
