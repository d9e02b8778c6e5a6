#include "sim/plan/street_graph.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <limits>

#include "sim/plan/street_pieces.h"

namespace sim {
namespace {

using Graph =
    boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                          boost::property<boost::edge_weight_t, double>>;

constexpr double nowhere = std::numeric_limits<double>::infinity();

}  // namespace

struct StreetGraph::Hidden {
  CutStreets streets;
  Graph graph;
  std::vector<std::vector<std::size_t>> pieces_at;

  struct From {
    std::vector<double> distance_m;
    std::vector<std::size_t> previous;
  };
  From from_corner(std::size_t corner) const {
    From from{std::vector<double>(streets.corners.size(), nowhere),
              std::vector<std::size_t>(streets.corners.size())};
    for (std::size_t i = 0; i < from.previous.size(); ++i) from.previous[i] = i;
    boost::dijkstra_shortest_paths(graph, corner,
                                   boost::distance_map(from.distance_m.data())
                                       .predecessor_map(from.previous.data())
                                       .distance_inf(nowhere));
    return from;
  }
};

StreetGraph::StreetGraph(const std::vector<WalkerStreet>& ways)
    : hidden_(std::make_unique<Hidden>()) {
  hidden_->streets = cut_where_they_meet(ways);
  const auto& [corners, pieces] = hidden_->streets;
  hidden_->graph = Graph(corners.size());
  hidden_->pieces_at.resize(corners.size());
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    boost::add_edge(pieces[p].from, pieces[p].to, pieces[p].length_m, hidden_->graph);
    hidden_->pieces_at[pieces[p].from].push_back(p);
    hidden_->pieces_at[pieces[p].to].push_back(p);
  }
}
StreetGraph::~StreetGraph() = default;
StreetGraph::StreetGraph(StreetGraph&&) noexcept = default;

const std::vector<Xy>& StreetGraph::corners() const { return hidden_->streets.corners; }
const std::vector<StreetPiece>& StreetGraph::pieces() const { return hidden_->streets.pieces; }
std::vector<std::size_t> StreetGraph::pieces_at(std::size_t corner) const {
  return hidden_->pieces_at[corner];
}

Xy StreetGraph::place_on(std::size_t piece, double along_m) const {
  const StreetPiece& p = pieces()[piece];
  const Xy a = corners()[p.from], b = corners()[p.to];
  const double t = along_m / p.length_m;
  return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

std::optional<Foot> StreetGraph::nearest(Xy place) const {
  std::optional<Foot> best;
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const StreetPiece& p = pieces()[i];
    const double along = nearest_share(corners()[p.from], corners()[p.to], place) * p.length_m;
    const Xy at = place_on(i, along);
    const double off = std::hypot(at.x - place.x, at.y - place.y);
    if (!best || off < best->off_m) best = Foot{i, along, at, off};
  }
  return best;
}

Walks StreetGraph::walks_from(const Foot& foot) const {
  const StreetPiece& piece = pieces()[foot.piece];
  const Hidden::From a = hidden_->from_corner(piece.from), b = hidden_->from_corner(piece.to);
  Walks walks{foot, {}, {}};
  walks.distance_m.resize(corners().size());
  walks.previous.resize(corners().size());
  for (std::size_t i = 0; i < corners().size(); ++i) {
    const double by_a = foot.along_m + a.distance_m[i];
    const double by_b = piece.length_m - foot.along_m + b.distance_m[i];
    walks.distance_m[i] = std::min(by_a, by_b);
    walks.previous[i] = by_a <= by_b ? a.previous[i] : b.previous[i];
  }
  return walks;
}

double StreetGraph::distance_m(const Walks& walks, const Foot& to) const {
  const StreetPiece& piece = pieces()[to.piece];
  double least = std::min(walks.distance_m[piece.from] + to.along_m,
                          walks.distance_m[piece.to] + piece.length_m - to.along_m);
  if (to.piece == walks.from.piece)
    least = std::min(least, std::abs(to.along_m - walks.from.along_m));
  return least;
}

std::vector<Xy> StreetGraph::path(const Walks& walks, const Foot& to) const {
  const double length = distance_m(walks, to);
  if (!std::isfinite(length)) return {};
  if (to.piece == walks.from.piece && std::abs(to.along_m - walks.from.along_m) <= length + 1e-9) {
    return {walks.from.place, to.place};
  }
  const StreetPiece& piece = pieces()[to.piece];
  const double by_from = walks.distance_m[piece.from] + to.along_m;
  std::size_t corner = by_from <= length + 1e-9 ? piece.from : piece.to;
  std::vector<Xy> line{to.place};
  while (true) {
    line.push_back(corners()[corner]);
    if (walks.previous[corner] == corner) break;
    corner = walks.previous[corner];
  }
  line.push_back(walks.from.place);
  std::reverse(line.begin(), line.end());
  return line;
}

}  // namespace sim
