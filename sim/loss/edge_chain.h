// Edges one behind the other: which of a profile's points matter, and what they cost together.
#pragma once

#include <span>
#include <vector>

#include "sim/base/units.h"

namespace sim {

/// A point of a profile that may be an edge, in the order of the path.
struct ProfileEdge {
  double at_m = 0.0;      ///< along the direct path
  double above_m = 0.0;   ///< over the direct path, square to it; negative below
  double radius_m = 0.0;  ///< of a rounded crest; 0 = sharp
  bool apart = false;     ///< a valley lies between it and the point before
  bool smooth = false;    ///< of a surface that goes on: its slope beside a crest is no second edge
};

/// The points that decide, in the order of the path: the one with the greatest Fresnel parameter,
/// then the same again between it and either end, two levels deep, as long as they reach the zone
/// that should be free (v > -0.78). Points of one smooth hill, with no valley between them and a
/// point that is taken, are no edges of their own.
///
/// Source:   [P.526] section 4.5 in its earlier form of three cascaded edges (principal, then one
///           on either side; from memory), carried one level further
/// Valid:    profiles between two ends
/// Differs:  takes up to seven edges
std::vector<std::size_t> deciding_edges(Frequency f, double length_m,
                                        std::span<const ProfileEdge> profile);

struct EdgeChainLoss {
  Db loss;
  Db single;  ///< of the principal edge alone, taken as sharp
  std::size_t principal = 0;
  std::vector<Db> shares;  ///< of each edge; they add up to the loss
};

/// Loss over edges in series.
///
///   one edge      L = J(v) + T(m, n)
///   two           L = -20 log10 |two_edges_field|
///   more          L = sum of the pairs next to each other - the inner edges once, each pair and
///                 edge over the part of the path between its neighbours
///
/// with T added for every rounded crest. Never less than the worst edge alone. The same from
/// either end. Each edge's share is its own loss between its neighbours, scaled to add up.
///
/// Source:   J and T of [P.526] sections 4.1 and 4.2; pairs by two_edges_field; the chain of pairs
///           in the manner of [P.526] section 4.4 (each edge between its neighbours)
/// Valid:    heights small against the distances
/// Differs:  pairs are exact, so no correction for edges near each other is needed
EdgeChainLoss edge_chain_loss(Frequency f, double length_m, std::span<const ProfileEdge> edges);

}  // namespace sim
