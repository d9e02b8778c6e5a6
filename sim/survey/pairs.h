// Inside and outside a car, facing and turned away, with and without a hand: what the difference at
// one place measures.
#pragma once

#include <vector>

#include "sim/survey/survey.h"

namespace sim {

struct PairSettings {
  BootstrapSettings bootstrap;
  double change = 0.1, power = 0.8;
};
PairSettings pair_settings(const Defaults& defaults);

/// Rows at one place (one name, or within their accuracy of each other, 3 to 10 m) for one node
/// that differ in their context alone, against `outdoor`; or in the way they face alone, against
/// the one that looks at the node. Headings count by eighths of the compass. In the order of the
/// places.
std::vector<MeasuredPair> find_pairs(const std::vector<Measurement>& measurements,
                                     const std::vector<NodeRecord>& nodes,
                                     const PairSettings& settings = {});

}  // namespace sim
