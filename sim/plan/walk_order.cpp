#include <algorithm>
#include <boost/graph/adjacency_matrix.hpp>
#include <boost/graph/metric_tsp_approx.hpp>
#include <limits>
#include <utility>

#include "sim/plan/route.h"

namespace sim {
namespace {

using Table = std::vector<std::vector<double>>;
using Order = std::vector<std::size_t>;

Order by_tree(const Table& distance_m) {
  using Complete = boost::adjacency_matrix<boost::undirectedS, boost::no_property,
                                           boost::property<boost::edge_weight_t, double>>;
  Complete all(distance_m.size());
  for (std::size_t i = 0; i < distance_m.size(); ++i) {
    for (std::size_t j = i + 1; j < distance_m.size(); ++j) {
      boost::add_edge(i, j, distance_m[i][j], all);
    }
  }
  Order tour;
  boost::metric_tsp_approx_tour_from_vertex(all, std::size_t{0}, std::back_inserter(tour));
  tour.pop_back();  // back at the start: the walk is open
  return tour;
}

/// Always on to the nearest, after a first leg that is given.
Order by_nearest(const Table& distance_m, std::size_t first) {
  Order order{0, first};
  std::vector<bool> seen(distance_m.size(), false);
  seen[0] = seen[first] = true;
  while (order.size() < distance_m.size()) {
    std::size_t next = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < distance_m.size(); ++j) {
      if (seen[j] || distance_m[order.back()][j] >= least) continue;
      least = distance_m[order.back()][j];
      next = j;
    }
    seen[next] = true;
    order.push_back(next);
  }
  return order;
}

constexpr double shorter_m = 1e-6;  // less is rounding

/// Turns one stretch round where that is shorter; the open end costs nothing.
bool turn_one(const Table& d, Order& order) {
  const std::size_t n = order.size();
  for (std::size_t i = 1; i + 1 < n; ++i) {
    for (std::size_t j = i + 1; j < n; ++j) {
      const bool end = j + 1 == n;
      const double now = d[order[i - 1]][order[i]] + (end ? 0.0 : d[order[j]][order[j + 1]]);
      const double then = d[order[i - 1]][order[j]] + (end ? 0.0 : d[order[i]][order[j + 1]]);
      if (then < now - shorter_m) {
        std::reverse(order.begin() + static_cast<std::ptrdiff_t>(i),
                     order.begin() + static_cast<std::ptrdiff_t>(j) + 1);
        return true;
      }
    }
  }
  return false;
}

/// Moves up to three neighbours elsewhere where that is shorter.
bool move_one(const Table& d, Order& order) {
  const double now = walk_length_m(d, order);
  for (std::size_t length = 1; length <= 3; ++length) {
    for (std::size_t i = 1; i + length <= order.size(); ++i) {
      Order rest = order;
      const auto first = rest.begin() + static_cast<std::ptrdiff_t>(i);
      Order moved(first, first + static_cast<std::ptrdiff_t>(length));
      rest.erase(first, first + static_cast<std::ptrdiff_t>(length));
      const double without = walk_length_m(d, rest) + walk_length_m(d, moved);
      for (std::size_t at = 1; at <= rest.size(); ++at) {
        for (const bool turned : {false, true}) {
          const std::size_t head = turned ? moved.back() : moved.front();
          const std::size_t tail = turned ? moved.front() : moved.back();
          double then = without + d[rest[at - 1]][head];
          if (at < rest.size()) then += d[tail][rest[at]] - d[rest[at - 1]][rest[at]];
          if (then >= now - shorter_m) continue;
          if (turned) std::reverse(moved.begin(), moved.end());
          rest.insert(rest.begin() + static_cast<std::ptrdiff_t>(at), moved.begin(), moved.end());
          order = std::move(rest);
          return true;
        }
      }
    }
  }
  return false;
}

Order mended(const Table& d, Order order) {
  while (turn_one(d, order) || move_one(d, order)) {
  }
  return order;
}

}  // namespace

double walk_length_m(const Table& distance_m, const Order& order) {
  double length = 0.0;
  for (std::size_t i = 0; i + 1 < order.size(); ++i) length += distance_m[order[i]][order[i + 1]];
  return length;
}

Order short_walk(const Table& distance_m) {
  if (distance_m.size() < 3) {
    Order order(distance_m.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    return order;
  }
  Order best = mended(distance_m, by_tree(distance_m));
  constexpr std::size_t most_starts = 12;  // more hardly shorten it
  for (std::size_t first = 1; first < std::min(distance_m.size(), most_starts + 1); ++first) {
    Order other = mended(distance_m, by_nearest(distance_m, first));
    if (walk_length_m(distance_m, other) < walk_length_m(distance_m, best) - shorter_m) {
      best = std::move(other);
    }
  }
  return best;
}

}  // namespace sim
