// The walk: in which order, how far, how high, how long.
#pragma once

#include <vector>

#include "sim/plan/planned.h"
#include "sim/plan/street_graph.h"

namespace sim {

/// Distances of walking between places, metres; places[0] is the start.
struct WalkTable {
  std::vector<std::vector<double>> distance_m;
  std::vector<std::vector<bool>> by_street;  ///< false: straight, for no mapped street leads there
};
WalkTable walk_table(const StreetGraph& graph, const std::vector<Foot>& feet,
                     const std::vector<Xy>& places);

/// A short open walk that begins at place 0 and visits all: the tree approximation of the Boost
/// Graph Library and the nearest neighbour from up to twelve first places, each mended by turning
/// stretches round (2-opt) and moving up to three places elsewhere (or-opt) until nothing gets
/// shorter; the shortest of them.
/// Sources: D. Rosenkrantz et al., SIAM J. Comput. 6 (1977); G. Croes, Oper. Res. 6 (1958); I. Or,
/// thesis, 1976; all from memory.
std::vector<std::size_t> short_walk(const std::vector<std::vector<double>>& distance_m);
double walk_length_m(const std::vector<std::vector<double>>& distance_m,
                     const std::vector<std::size_t>& order);

/// Lays the walk out on the ground along the centre lines. `feet` and `stands` in walking order,
/// the start first. Climb is the sum of rises between points 10 m apart.
Route lay_out(const Scene& scene, const StreetGraph& graph, const std::vector<Foot>& feet,
              const std::vector<Xy>& stands);

/// Seconds for a length and climb: walking_speed_m_per_s on the flat and a second more for every
/// walking_climb_m_per_s of climb.
double walking_time_s(double length_m, double climb_m, const Defaults& defaults);

}  // namespace sim
