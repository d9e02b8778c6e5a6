#include "sim/survey/pairs.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "sim/base/quantile.h"
#include "sim/survey/held_as.h"
#include "sim/survey/same_place.h"

namespace sim {
namespace {

/// Rows farther apart than this are not the same place, however bad their fix; common practice, no
/// source.
constexpr double farthest_pair_m = 10.0;

/// A tenth of a level is a tenth of its power.
double change_of_level_db(double change) { return 10.0 * std::log10(1.0 + change); }

std::vector<double> values_of(const std::vector<Measurement>& measurements,
                              const std::vector<std::size_t>& rows,
                              std::optional<double> Measurement::*what) {
  std::vector<double> values;
  for (const std::size_t row : rows) {
    if (const auto& value = measurements[row].*what) values.push_back(*value);
  }
  return values;
}

PairedQuantity compare(const std::vector<double>& reference, const std::vector<double>& other,
                       bool is_level, const PairSettings& settings) {
  PairedQuantity q{.reference_count = reference.size(), .other_count = other.size()};
  q.reference_median = quantile(reference, 0.5);
  q.other_median = quantile(other, 0.5);
  q.difference = q.reference_median - q.other_median;
  q.ratio = q.reference_median == 0.0 ? std::nan("") : q.other_median / q.reference_median;
  const double share = settings.bootstrap.share;
  if (std::min(reference.size(), other.size()) >= least_bootstrap_values) {
    const TwoMedians intervals = two_median_intervals(reference, other, settings.bootstrap);
    q.method = "bootstrap";
    q.of_difference = intervals.difference;
    q.of_ratio = intervals.ratio;
  } else if (std::min(reference.size(), other.size()) >= 2) {
    q.method = "student";
    q.of_difference = welch_interval(reference, other, share);
  }
  if (is_level) q.ratio = std::nan("");
  if (is_level) q.of_ratio = {};
  const double spread = pooled_spread(reference, other);
  const double change =
      is_level ? change_of_level_db(settings.change) : settings.change * q.reference_median;
  if (std::isfinite(spread) && change > 0.0) {
    q.repeats_needed = repeats_needed(spread, change, share, settings.power);
  }
  return q;
}

class Pairs {
 public:
  Pairs(const std::vector<Measurement>& measurements, const std::vector<NodeRecord>& nodes,
        const PairSettings& settings)
      : measurements_(measurements), nodes_(nodes), settings_(settings) {}

  void at(const SamePlace& place) {
    using Side = std::pair<std::string, std::string>;  // situation, facing
    std::map<std::string, std::map<Side, std::vector<std::size_t>>> by_node;
    for (const std::size_t row : place.rows) {
      const Measurement& m = measurements_[row];
      if (!m.rsrp_dbm && !m.downlink_mbps && !m.uplink_mbps) continue;
      by_node[m.node][{situation(m), faces(m)}].push_back(row);
    }
    for (const auto& [node, sides] : by_node) {
      for (const auto& [side, rows] : sides) {
        if (side.first != "outdoor") {
          const auto open = sides.find({"outdoor", side.second});
          if (open != sides.end()) {
            add(MeasuredPair::Kind::context, place, node, {"outdoor", open->second},
                {side.first, rows});
          }
        }
        const std::string ahead = looks_at_node(place, node, side.first, sides);
        if (!side.second.empty() && !ahead.empty() && side.second != ahead) {
          add(MeasuredPair::Kind::facing, place, node,
              {"facing " + ahead, sides.at({side.first, ahead})}, {"facing " + side.second, rows});
        }
      }
    }
  }

  std::vector<MeasuredPair> take() { return std::move(pairs_); }

 private:
  using Half = std::pair<std::string, std::vector<std::size_t>>;

  /// The facing to compare with: at the node, else the heading nearest to it, else what came first.
  template <class Sides>
  std::string looks_at_node(const SamePlace& place, const std::string& node,
                            const std::string& situation, const Sides& sides) const {
    if (sides.contains({situation, "node"})) return "node";
    const NodeRecord* known = nullptr;
    for (const NodeRecord& n : nodes_) {
      if (n.id == node || (node.empty() && nodes_.size() == 1)) known = &n;
    }
    std::string best;
    double least = 1e300;
    for (const auto& [side, rows] : sides) {
      const std::string& way = side.second;
      if (side.first != situation || way.empty() || way == "away") continue;
      double off = static_cast<double>(rows.front()) + 1e3;  // after every known heading
      if (known != nullptr && place.place && way != "held") {
        const double east = known->place.x - place.place->x;
        const double north = known->place.y - place.place->y;
        const double bearing = std::atan2(east, north) * 180.0 / std::numbers::pi;
        off = std::abs(std::remainder(std::stod(way) - bearing, 360.0));
      }
      if (off < least) {
        least = off;
        best = way;
      }
    }
    return best;
  }

  void add(MeasuredPair::Kind kind, const SamePlace& place, const std::string& node,
           const Half& reference, const Half& other) {
    MeasuredPair pair{.kind = kind,
                      .place = place.place,
                      .name = place.name,
                      .node = node,
                      .reference = reference.first,
                      .other = other.first,
                      .reference_rows = reference.second,
                      .other_rows = other.second};
    const auto both = [&](std::optional<double> Measurement::*what, bool is_level) {
      return compare(values_of(measurements_, pair.reference_rows, what),
                     values_of(measurements_, pair.other_rows, what), is_level, settings_);
    };
    pair.rsrp_dbm = both(&Measurement::rsrp_dbm, true);
    pair.downlink_mbps = both(&Measurement::downlink_mbps, false);
    pair.uplink_mbps = both(&Measurement::uplink_mbps, false);
    for (const std::size_t row : pair.reference_rows) {
      const auto& connected = measurements_[row].connected;
      pair.reference_known += connected ? 1 : 0;
      pair.reference_connected += connected.value_or(false) ? 1 : 0;
    }
    for (const std::size_t row : pair.other_rows) {
      const auto& connected = measurements_[row].connected;
      pair.other_known += connected ? 1 : 0;
      pair.other_connected += connected.value_or(false) ? 1 : 0;
    }
    pairs_.push_back(std::move(pair));
  }

  const std::vector<Measurement>& measurements_;
  const std::vector<NodeRecord>& nodes_;
  const PairSettings& settings_;
  std::vector<MeasuredPair> pairs_;
};

}  // namespace

PairSettings pair_settings(const Defaults& defaults) {
  return {.bootstrap = bootstrap_settings(defaults),
          .change = defaults("pair_change"),
          .power = defaults("pair_power")};
}

std::vector<MeasuredPair> find_pairs(const std::vector<Measurement>& measurements,
                                     const std::vector<NodeRecord>& nodes,
                                     const PairSettings& settings) {
  Pairs pairs(measurements, nodes, settings);
  const auto reach = [](const Measurement& m) {
    return std::clamp(m.accuracy_m.value_or(same_place_m), same_place_m, farthest_pair_m);
  };
  for (const SamePlace& place : places_of(measurements, reach)) {
    if (place.rows.size() > 1) pairs.at(place);
  }
  return pairs.take();
}

}  // namespace sim
