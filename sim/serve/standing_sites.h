// The site as edited, stood up for rays; the last few are kept.
#pragma once

#include <condition_variable>
#include <list>
#include <mutex>

#include "sim/serve/edits.h"
#include "sim/serve/street_lattice.h"

namespace sim {

/// A site that rays can be cast in. What stands is built once; nodes and weather are no part of the
/// triangles or of the ray kernel, which look at nothing of the scene but what stands, so those are
/// changed in place.
class StandingSite {
 public:
  /// Throws InputError as build_scene() does.
  StandingSite(ImportedSite imported, double spacing_m);
  StandingSite(const StandingSite&) = delete;
  StandingSite& operator=(const StandingSite&) = delete;

  /// Gives the site other nodes and another weather. Leaves all as it was when it throws InputError
  /// for a node inside a building or off the ground.
  void change(NodesAndWeather now);

  const ImportedSite& imported() const { return imported_; }
  const Scene& scene() const { return scene_; }
  const RayCaster& caster() const { return caster_; }
  const FootprintIndex& footprints() const { return footprints_; }
  const StreetLattice& lattice() const { return lattice_; }
  const LinkSettings& settings() const { return settings_; }

 private:
  ImportedSite imported_;
  Scene scene_;
  RayCaster caster_;
  FootprintIndex footprints_;
  StreetLattice lattice_;
  LinkSettings settings_;
};

/// Hands out the site as edited, to any number of threads at once.
class StandingSites {
  struct Kept;

 public:
  StandingSites(ImportedSite imported, double spacing_m);
  ~StandingSites();

  /// Holds a site as it is: it does not change before the last hold on it is gone.
  class Hold {
   public:
    Hold(StandingSites& sites, Kept& kept) : sites_(&sites), kept_(&kept) {}
    ~Hold();
    Hold(const Hold&) = delete;
    Hold& operator=(const Hold&) = delete;
    const StandingSite& operator*() const;
    const StandingSite* operator->() const { return &**this; }

   private:
    StandingSites* sites_;
    Kept* kept_;
  };

  /// Waits for those who hold the same things with other nodes. Throws InputError where the edits
  /// cannot be made, or what they leave cannot stand.
  Hold with(const std::vector<Edit>& edits);

  const ImportedSite& unedited() const { return unedited_; }

 private:
  struct Kept {
    std::vector<Edit> things, others;  ///< edits it stands for
    std::unique_ptr<StandingSite> site;
    int held = 0;
  };
  Kept& with_things(const std::vector<Edit>& edits, std::vector<Edit> things);

  static constexpr std::size_t most_kept = 3;
  ImportedSite unedited_;
  double spacing_m_;
  std::mutex mutex_;
  std::condition_variable returned_;
  std::list<Kept> kept_;  ///< last used first
};

}  // namespace sim
