#include "sim/explain/repeated_walks.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "sim/survey/measured_drops.h"

namespace sim {
namespace {

double pearson(const std::vector<std::pair<double, double>>& pairs) {
  constexpr std::size_t least_pairs = 3;
  if (pairs.size() < least_pairs) return std::numeric_limits<double>::quiet_NaN();
  double mean_a = 0.0, mean_b = 0.0;
  for (const auto& [a, b] : pairs) {
    mean_a += a / static_cast<double>(pairs.size());
    mean_b += b / static_cast<double>(pairs.size());
  }
  double both = 0.0, one = 0.0, other = 0.0;
  for (const auto& [a, b] : pairs) {
    both += (a - mean_a) * (b - mean_b);
    one += (a - mean_a) * (a - mean_a);
    other += (b - mean_b) * (b - mean_b);
  }
  return one > 0.0 && other > 0.0 ? both / std::sqrt(one * other)
                                  : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

std::size_t WalkedPlace::dropped() const {
  return static_cast<std::size_t>(std::count_if(
      passes.begin(), passes.end(), [](const auto& pass) { return pass.second.dropped(); }));
}

std::vector<WalkedPlace> walked_places(const std::vector<Measurement>& measurements,
                                       double drop_rsrp_dbm) {
  std::map<std::pair<long, long>, WalkedPlace> cells;
  for (const Measurement& m : measurements) {
    const std::optional<bool> lost = dropped(m, drop_rsrp_dbm);
    if (!m.place || !lost) continue;
    const long x = std::lround(std::floor(m.place->x / walked_cell_m));
    const long y = std::lround(std::floor(m.place->y / walked_cell_m));
    WalkedPlace& cell = cells[{x, y}];
    cell.middle = {(static_cast<double>(x) + 0.5) * walked_cell_m,
                   (static_cast<double>(y) + 0.5) * walked_cell_m};
    WalkedPlace::Pass& pass = cell.passes[m.run.empty() ? m.survey : m.survey + " " + m.run];
    ++pass.rows;
    pass.connected += *lost ? 0 : 1;
  }
  std::vector<WalkedPlace> places;
  places.reserve(cells.size());
  for (auto& [key, cell] : cells) places.push_back(std::move(cell));
  return places;
}

std::vector<WalkAgreement> walk_agreements(const std::vector<WalkedPlace>& places,
                                           std::size_t least_rows) {
  std::set<std::string> walks;
  for (const WalkedPlace& place : places) {
    for (const auto& [walk, pass] : place.passes) walks.insert(walk);
  }
  std::vector<WalkAgreement> agreements;
  for (auto one = walks.begin(); one != walks.end(); ++one) {
    for (auto other = std::next(one); other != walks.end(); ++other) {
      std::vector<std::pair<double, double>> pairs;
      for (const WalkedPlace& place : places) {
        const auto a = place.passes.find(*one), b = place.passes.find(*other);
        if (a == place.passes.end() || b == place.passes.end()) continue;
        if (a->second.rows < least_rows || b->second.rows < least_rows) continue;
        pairs.emplace_back(a->second.connected_share(), b->second.connected_share());
      }
      agreements.push_back({*one, *other, pairs.size(), pearson(pairs)});
    }
  }
  return agreements;
}

}  // namespace sim
