// Ways cut where they meet.
#pragma once

#include <vector>

#include "sim/plan/street_graph.h"

namespace sim {

struct CutStreets {
  std::vector<Xy> corners;
  std::vector<StreetPiece> pieces;
};
CutStreets cut_where_they_meet(const std::vector<WalkerStreet>& ways);

/// The place of the segment a-b nearest to p, as a share of the way from a.
double nearest_share(Xy a, Xy b, Xy p);

}  // namespace sim
