// The streets as a graph to walk on.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "sim/plan/ways.h"

namespace sim {

/// A straight piece of a way between two corners or crossings.
struct StreetPiece {
  std::size_t way = 0;
  std::size_t from = 0, to = 0;  ///< corners
  double length_m = 0.0;
};

/// The place of the graph that is nearest to somewhere.
struct Foot {
  std::size_t piece = 0;
  double along_m = 0.0;  ///< from the piece's first corner
  Xy place;
  double off_m = 0.0;  ///< straight from there
};

/// Shortest walks from one foot to everywhere.
struct Walks {
  Foot from;
  std::vector<double> distance_m;     ///< by corner; infinity where no street leads
  std::vector<std::size_t> previous;  ///< corner before, itself at the first
};

/// Ways meet at shared corners (within 0.5 m), where one ends on another (within 1 m) and where two
/// cross on the level. Only walkable ways count.
class StreetGraph {
 public:
  explicit StreetGraph(const std::vector<WalkerStreet>& ways);
  ~StreetGraph();
  StreetGraph(StreetGraph&&) noexcept;

  const std::vector<Xy>& corners() const;
  const std::vector<StreetPiece>& pieces() const;
  /// Pieces that meet at a corner.
  std::vector<std::size_t> pieces_at(std::size_t corner) const;
  Xy place_on(std::size_t piece, double along_m) const;

  std::optional<Foot> nearest(Xy place) const;  ///< nullopt without any street
  /// By Dijkstra's algorithm of the Boost Graph Library.
  Walks walks_from(const Foot& foot) const;
  double distance_m(const Walks& walks, const Foot& to) const;
  /// From the walks' foot to `to`, both included; empty where no street leads.
  std::vector<Xy> path(const Walks& walks, const Foot& to) const;

 private:
  struct Hidden;
  std::unique_ptr<Hidden> hidden_;
};

}  // namespace sim
