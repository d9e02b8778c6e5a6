// The map of a whole site at once, coarse at first and finer from frame to frame, until every cell
// has its own ledger and the last frame is what predict_grid() answers.
//
// Every frame has all cells. What stands before a cell is looked up by its own ray in the first
// frame already, so that shadows have their true edges; its levels come from the ledgers of cells
// near by that see the same node past the same kind of thing, weighed by nearness, with the free
// space of its own distance. So in all frames but the last, of a cell without a ledger of its own:
//   - `sight` is exact where ground or a building stands before it, or leaves alone; where the ray
//     is free, whether the Fresnel zone is free too (los or olos) is taken from its neighbour, as
//     is whether a pole or vehicle on the ray is wider than the zone (olos or nlos);
//   - the best sector, the cause and the sector's pattern are its neighbours';
//   - where reflections are asked for, the first frame leaves them out (finding them for a node
//     that moved takes longer than the frame may); from the second on they are in.
#pragma once

#include "sim/serve/sight_classes.h"

namespace sim {

struct MapTask {
  const RayCaster& caster;
  const FootprintIndex& footprints;
  const StreetLattice& lattice;
  const LinkSettings& settings;
  PredictOptions options;
};

struct MapFrame {
  int stage = 1;
  double ledger_step_m =
      0.0;  ///< at least one ledger in every square of this side and kind of sight
  bool final = false;
  const PredictionGrid& grid;
};

/// Calls `show` for each frame; false from it ends the work, as does true from `stopped`, which is
/// asked some times a second. True when the final frame was shown. A scene without nodes has one
/// frame, empty and final.
bool predict_coarse_to_fine(const MapTask& task, const std::function<bool(const MapFrame&)>& show,
                            const std::function<bool()>& stopped);

}  // namespace sim
