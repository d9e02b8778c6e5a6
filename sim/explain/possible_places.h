// Where a phone may have been when it said where it was.
#pragma once

#include <vector>

#include "sim/explain/explanation.h"

namespace sim {

/// A place the phone may have been at, all equally likely before anything is measured.
struct PossiblePlace {
  ReceiverPoint stand;
  LinkResult link;  ///< by the map
};

/// The reported place first, then places about it as its accuracy spreads them: a circular normal
/// distribution with 68 % within `accuracy_m`, as phones state it (Android Location, from memory),
/// on ground and outside buildings unless the reported place is inside one. The same ones every
/// time. Empty without a node in range of the reported place.
std::vector<PossiblePlace> possible_places(const RayCaster& caster,
                                           const FootprintIndex& footprints,
                                           const ReceiverPoint& reported, double accuracy_m,
                                           const std::string& node_id, const LinkSettings& settings,
                                           const PredictOptions& options);

}  // namespace sim
