// One try at a site: the scenery, what is planted in it, and where the phone is.
#pragma once

#include "tests/explain/dice.h"
#include "tests/explain/truth_site.h"

namespace sim::test {

struct Attempt {
  ImportedSite truth, map, without_it;  ///< `without_it`: the truth without the planted thing
  Xy phone;
  ReceiverContext context = ReceiverContext::outdoor;
  double farthest_good_m = 180.0;
  double nearest_good_m = 20.0;
  bool good_points_west = false;
};

Attempt draw(Cause planted, Dice& dice);

/// Nothing but the node and flat ground under it.
ImportedSite bare(ImportedSite site);

/// Levels at the phone: in truth, without the planted thing, and with nothing in the way, dBm.
struct Levels {
  double with = 0.0, without = 0.0, bare = 0.0;
};

/// Whether the planted thing costs what it should, and nothing else a decibel.
bool as_planted(Cause planted, const Levels& level, const LinkResult& link);

ScenePoint phone_at(const Street& street, Xy place);
ScenePoint on_ground(const Street& street, ScenePoint p);
bool indoors(const Street& street, ScenePoint p);

}  // namespace sim::test
