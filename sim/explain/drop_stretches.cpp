#include "sim/explain/drop_stretches.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/explain/explanation.h"
#include "sim/survey/measured_drops.h"

namespace sim {
namespace {

class Walks {
 public:
  Walks(const Explanation& explanation, const LinkSettings& settings)
      : explanation_(explanation), points_(explanation.points), settings_(settings) {}

  bool measured_lost(std::size_t i) const {
    return dropped(points_[i].measurement, settings_.drop_rsrp.value).value_or(false);
  }
  bool predicted_lost(std::size_t i) const {
    const auto& link = points_[i].link;
    if (!link) return false;
    const double level = link->rsrp.value + explanation_.level_offset_db[link->node];
    return level < settings_.drop_rsrp.value;
  }
  bool same_walk(std::size_t i, std::size_t j) const {
    const Measurement &a = points_[i].measurement, &b = points_[j].measurement;
    return a.survey == b.survey && a.run == b.run;
  }

  template <class Lost>
  std::vector<RowRange> ranges(const Lost& lost) const {
    std::vector<RowRange> found;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (!lost(i)) continue;
      const bool goes_on = !found.empty() && found.back().last + 1 == i && same_walk(i - 1, i);
      if (goes_on) {
        found.back().last = i;
      } else {
        found.push_back({i, i});
      }
    }
    return found;
  }

  void measure(ExplainedDrop& drop) const {
    drop.survey = points_[drop.measured.first].measurement.survey;
    drop.run = points_[drop.measured.first].measurement.run;
    const std::size_t next = drop.measured.last + 1;
    drop.regained = next < points_.size() && same_walk(drop.measured.last, next);
    for (std::size_t i = drop.measured.first; i <= drop.measured.last; ++i) {
      const auto& place = points_[i].measurement.place;
      drop.comparable = drop.comparable || points_[i].link.has_value();
      if (!place) continue;
      if (drop.to) drop.walked_m += std::hypot(place->x - drop.to->x, place->y - drop.to->y);
      if (!drop.from) drop.from = place;
      drop.to = place;
    }
  }

  void compare(ExplainedDrop& drop, const std::vector<RowRange>& predicted) const {
    std::size_t most = 0;
    for (const RowRange& range : predicted) {
      const std::size_t first = std::max(range.first, drop.measured.first);
      const std::size_t last = std::min(range.last, drop.measured.last);
      const std::size_t both = first <= last ? last - first + 1 : 0;
      if (both <= most) continue;
      most = both;
      drop.predicted = range;
      drop.agreement = static_cast<double>(both) /
                       static_cast<double>(range.rows() + drop.measured.rows() - both);
    }
    if (!drop.predicted) return;
    drop.predicted_from = points_[drop.predicted->first].measurement.place;
    drop.predicted_to = points_[drop.predicted->last].measurement.place;
  }

  void name_cause(ExplainedDrop& drop) const {
    std::map<std::pair<Cause, ObstacleId>, double> things;
    std::map<Cause, double> causes;
    for (std::size_t i = drop.measured.first; i <= drop.measured.last; ++i) {
      const ExplainedPoint& p = points_[i];
      causes[p.cause] += p.confidence;
      things[{p.cause, p.cause_obstacle}] += p.confidence;
    }
    for (const auto& [cause, weight] : causes) {
      const double share = weight / static_cast<double>(drop.measured.rows());
      if (share <= drop.confidence) continue;
      drop.confidence = share;
      drop.cause = cause;
    }
    double most = 0.0;
    for (const auto& [key, weight] : things) {
      if (key.first != drop.cause || weight <= most) continue;
      most = weight;
      drop.cause_obstacle = key.second;
    }
  }

 private:
  const Explanation& explanation_;
  const std::vector<ExplainedPoint>& points_;
  const LinkSettings& settings_;
};

}  // namespace

std::vector<ExplainedDrop> explain_drops(const Explanation& explanation,
                                         const LinkSettings& settings) {
  const Walks walks(explanation, settings);
  const auto predicted = walks.ranges([&](std::size_t i) { return walks.predicted_lost(i); });
  std::vector<ExplainedDrop> drops;
  for (const RowRange& range :
       walks.ranges([&](std::size_t i) { return walks.measured_lost(i); })) {
    ExplainedDrop drop{.survey = {}, .measured = range};
    walks.measure(drop);
    walks.compare(drop, predicted);
    walks.name_cause(drop);
    drops.push_back(std::move(drop));
  }
  return drops;
}

}  // namespace sim
