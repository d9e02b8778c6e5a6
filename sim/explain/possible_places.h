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

/// Standard deviation along each axis of a circular normal distribution with 68 % within
/// `accuracy_m`.
double place_sigma_m(double accuracy_m);

/// The reported place first, then places about it as its accuracy spreads them: a circular normal
/// distribution with 68 % within `accuracy_m`, as phones state it (Android Location, from memory),
/// on ground and, but for a phone behind glass, outside buildings. Where the reported place itself
/// is inside one, the nearest outside comes first. The same ones every time. Empty without a node
/// in range of the reported place.
std::vector<PossiblePlace> possible_places(const RayCaster& caster,
                                           const FootprintIndex& footprints,
                                           const ReceiverPoint& reported, double accuracy_m,
                                           const std::string& node_id, const LinkSettings& settings,
                                           const PredictOptions& options);

}  // namespace sim
