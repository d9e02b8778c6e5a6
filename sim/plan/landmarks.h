// What a tester can see to find a place by.
#pragma once

#include <string>
#include <vector>

#include "sim/explain/explanation.h"
#include "sim/import/walking_map.h"
#include "sim/plan/street_graph.h"

namespace sim {

class Landmarks {
 public:
  Landmarks(const ImportedSite& imported, const Scene& scene, const std::vector<WalkerStreet>& ways,
            const StreetGraph& graph, const WalkingMap& map);
  /// "outside 12 High Street; 3 m from lamp 4; 40 m east of the corner with Mill Lane". Empty where
  /// nothing is near.
  std::string at(ScenePoint place, std::size_t way, LengthUnits units) const;

 private:
  struct Mark {
    Xy place;
    std::string words;
  };
  struct Corner {
    Xy place;
    std::vector<std::string> streets;
  };
  const Scene& scene_;
  const std::vector<WalkerStreet>& ways_;
  std::vector<Mark> houses_, poles_;
  std::vector<Corner> corners_;
};

}  // namespace sim
