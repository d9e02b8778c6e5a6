#include "sim/report/street_charts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/wording.h"
#include "sim/report/street_verdicts.h"

namespace sim {
namespace {

constexpr std::size_t most_lines = 5;  // more cross each other beyond telling apart
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// One quantity of the link, predicted and measured.
struct Quantity {
  std::string name, title, y_title;
  bool from_zero;
  double (*predicted)(const StationLink&);
  std::optional<double> Measurement::*measured;
};

const std::vector<Quantity>& quantities() {
  static const std::vector<Quantity> all{
      {"downlink_by_distance", "Downlink against distance from the node", "downlink, Mbit/s", true,
       [](const StationLink& link) { return link.downlink_mbps; }, &Measurement::downlink_mbps},
      {"level_by_distance", "Level against distance from the node", "SS-RSRP, dBm", false,
       [](const StationLink& link) { return link.rsrp.value; }, &Measurement::rsrp_dbm}};
  return all;
}

/// A walk outward; broken where a place has no answer.
std::vector<ChartValue> line_of(const StreetReach& reach, const std::vector<StreetWalk>& walks,
                                const Quantity& quantity) {
  std::vector<ChartValue> line;
  for (const StreetWalk& walk : walks) {
    if (walk.street_id != reach.side.street_id || name_of(walk) != reach.side.street) continue;
    for (const std::size_t i : walk.outward(reach.side.forward)) {
      const Station& station = walk.stations[i];
      line.push_back({std::abs(station.along_m),
                      station.best ? quantity.predicted(*station.best) : nan, nan, nan});
    }
  }
  return line;
}

std::vector<ChartValue> marks_of(const Explanation& explanation, const Quantity& quantity) {
  std::vector<ChartValue> marks;
  for (const ExplainedPoint& point : explanation.points) {
    const auto& value = point.measurement.*quantity.measured;
    if (value && point.link) marks.push_back({point.link->distance_2d_m, *value, nan, nan});
  }
  return marks;
}

}  // namespace

std::vector<NamedChart> street_charts(const Scene& scene, const std::vector<StreetWalk>& walks,
                                      const StreetVerdicts& streets,
                                      const Explanation* explanation) {
  std::vector<NamedChart> charts;
  auto sides = reaches_in_order(streets, false);
  if (sides.size() > most_lines) sides.resize(most_lines);
  for (const Quantity& quantity : quantities()) {
    DistanceChart chart{.y_title = quantity.y_title,
                        .bin_m = 50.0,
                        .y_from_zero = quantity.from_zero,
                        .y_top = {},
                        .keys = {},
                        .marks_are = "measured at one place",
                        .lines_are = "predicted on a walk outward",
                        .panels = {{"", {}}}};
    std::vector<ChartSeries>& series = chart.panels[0].series;
    const auto marks =
        explanation == nullptr ? std::vector<ChartValue>{} : marks_of(*explanation, quantity);
    for (std::size_t i = 0; i < sides.size(); ++i) {
      const StreetSide& side = sides[i]->side;
      chart.keys.push_back({i, fmt::format("{}, {} from {}", side.street,
                                           compass_word(side.heading), side.from_node)});
      series.push_back({.group = i, .marks = {}, .line = line_of(*sides[i], walks, quantity)});
    }
    if (!marks.empty()) {
      chart.keys.push_back({sides.size(), "measured"});
      series.push_back({.group = sides.size(), .marks = marks, .line = {}});
    }
    if (series.empty()) continue;
    charts.push_back({quantity.name, quantity.title,
                      fmt::format("{} lines of prediction, {} measured points; {} nodes",
                                  sides.size(), marks.size(), scene.nodes.size()),
                      distance_chart_svg(chart)});
  }
  return charts;
}

}  // namespace sim
