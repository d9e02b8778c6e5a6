#include "sim/report/compare_charts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/wording.h"
#include "sim/report/chart.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// Groups beyond this many make a chart unreadable; their numbers are in the tables.
constexpr std::size_t most_drawn = 12;

std::size_t drawn_groups(const Comparison& c) { return std::min(most_drawn, c.groups.size()); }

std::vector<ChartKey> keys_of(const Comparison& c) {
  std::vector<ChartKey> keys;
  for (std::size_t g = 0; g < drawn_groups(c); ++g) keys.push_back({g, c.groups[g].label});
  return keys;
}

/// Panels: in line of sight and out of it where that is known, else all together.
std::vector<std::pair<std::optional<InSight>, std::string>> panels_of(const Comparison& c) {
  const bool known = std::any_of(c.groups.begin(), c.groups.end(), [](const GroupResult& g) {
    return g.measured_in({std::nullopt, InSight::in, ""}) != nullptr ||
           g.measured_in({std::nullopt, InSight::out, ""}) != nullptr || !g.predicted.empty();
  });
  if (!known) return {{std::nullopt, "all places"}};
  return {{InSight::in, "in line of sight"}, {InSight::out, "out of line of sight"}};
}

template <class Measured, class Predicted>
DistanceChart by_distance(const Comparison& c, const Measured& measured,
                          const Predicted& predicted) {
  DistanceChart chart{.y_title = "",
                      .bin_m = c.settings.bin_m,
                      .y_top = {},
                      .keys = keys_of(c),
                      .marks_are = "",
                      .lines_are = "",
                      .panels = {}};
  for (const auto& [sight, title] : panels_of(c)) {
    ChartPanel panel{title, {}};
    for (std::size_t g = 0; g < drawn_groups(c); ++g) {
      const GroupResult& group = c.groups[g];
      ChartSeries series{.group = g, .marks = {}, .line = {}};
      for (int bin = 0; bin < c.bins; ++bin) {
        const double middle_m = (bin + 0.5) * c.settings.bin_m;
        if (const auto* cell = group.measured_in({bin, sight, group.situation})) {
          ChartValue value = measured(*cell);
          value.x = middle_m;
          if (std::isfinite(value.y)) series.marks.push_back(value);
        }
        const auto* cell = group.predicted_in({bin, sight, ""});
        series.line.push_back({middle_m, cell != nullptr ? predicted(*cell) : nan, nan, nan});
      }
      const bool any_line = std::any_of(series.line.begin(), series.line.end(),
                                        [](const ChartValue& v) { return std::isfinite(v.y); });
      if (!any_line) series.line.clear();
      panel.series.push_back(std::move(series));
    }
    chart.panels.push_back(std::move(panel));
  }
  return chart;
}

bool has(const DistanceChart& chart, bool marks) {
  return std::any_of(chart.panels.begin(), chart.panels.end(), [&](const ChartPanel& panel) {
    return std::any_of(panel.series.begin(), panel.series.end(),
                       [&](const ChartSeries& s) { return !(marks ? s.marks : s.line).empty(); });
  });
}

std::string percent(const Comparison& c) {
  return fmt::format("{:.0f} %", 100.0 * c.settings.bootstrap.share);
}

void add_distance_chart(std::vector<NamedChart>& charts, DistanceChart chart,
                        const std::string& name, const std::string& title,
                        const std::string& marks_are, const std::string& lines_are) {
  const bool marks = has(chart, true), lines = has(chart, false);
  if (!marks && !lines) return;
  if (marks) chart.marks_are = marks_are;
  if (lines) chart.lines_are = lines_are;
  std::string description = title + ", by group and distance bin.";
  if (marks) description += " Marks: " + marks_are + ".";
  if (lines) description += " Dashed lines: " + lines_are + ".";
  charts.push_back({name, title, description, distance_chart_svg(chart)});
}

void add_measures(std::vector<NamedChart>& charts, const Comparison& c) {
  for (const Measure m : all_measures) {
    DistanceChart chart = by_distance(
        c,
        [&](const MeasuredCell& cell) {
          const Middle& middle = cell.middles[m];
          return ChartValue{0.0, middle.median, middle.of_median.low, middle.of_median.high};
        },
        [&](const PredictedCell& cell) { return cell.spreads[m].median; });
    const std::string words = upper_first(words_of(m));
    chart.y_title = fmt::format("{}, {}", words_of(m), unit_of(m));
    chart.y_from_zero = m != Measure::level;
    // No latency is predicted, so nothing but marks can be there.
    add_distance_chart(charts, std::move(chart), words_of(m), words + " against distance",
                       "measured: median, with its " + percent(c) + " interval",
                       "predicted: median of places");
  }
}

void add_links(std::vector<NamedChart>& charts, const Comparison& c) {
  DistanceChart chart = by_distance(
      c,
      [](const MeasuredCell& cell) {
        return ChartValue{0.0, 100.0 * cell.linked.share, 100.0 * cell.linked.of_share.low,
                          100.0 * cell.linked.of_share.high};
      },
      [](const PredictedCell& cell) { return 100.0 * cell.mean_hold; });
  chart.y_title = "link holds, %";
  chart.y_top = 120.0;  // room for the words above 100 %
  add_distance_chart(
      charts, std::move(chart), "link", "Share that holds the link, against distance",
      "measured, with its " + percent(c) + " interval", "predicted: mean probability");
}

const EdgeOf* edge_in(const GroupResult& group, EdgeOf::Source source,
                      const std::optional<InSight>& sight) {
  for (const EdgeOf& edge : group.edges) {
    if (edge.source == source && edge.sight == sight) return &edge;
  }
  return nullptr;
}

std::optional<ChartRow> edge_row(const GroupResult& group, std::size_t g,
                                 const std::optional<InSight>& sight) {
  const EdgeOf* measured = edge_in(group, EdgeOf::Source::measured, sight);
  const EdgeOf* predicted = edge_in(group, EdgeOf::Source::predicted, sight);
  if (predicted == nullptr) predicted = edge_in(group, EdgeOf::Source::predicted_there, sight);
  if (measured == nullptr && predicted == nullptr) return std::nullopt;
  ChartRow row{.words = group.label + (sight ? ", in sight" : ""),
               .group = g,
               .value = {},
               .band = {},
               .note = ""};
  if (measured != nullptr && measured->edges) {
    const HoldEdge& half = measured->edges->edges[1];
    row.value = ChartValue{half.distance_m, 0.0, half.interval.low, half.interval.high};
    row.open_low = half.low_open;
    row.open_high = half.high_open;
  }
  if (predicted != nullptr && predicted->edges) {
    const auto& e = predicted->edges->edges;
    row.band = ChartValue{e[1].distance_m, 0.0, e[0].distance_m, e[2].distance_m};
    row.band_open_low = e[0].before;
    row.band_open_high = e[2].beyond;
  }
  if (!row.value && !row.band) row.note = "nothing can be said";
  return row;
}

void add_edges(std::vector<NamedChart>& charts, const Comparison& c) {
  RowsChart chart{.x_title = "level distance from the node, m (feet above)",
                  .feet = true,
                  .from_zero = true,
                  .values_are = "measured: half hold, with its " + percent(c) + " interval",
                  .bands_are = "predicted: 90, 50, 10 %",
                  .rows = {}};
  bool any = false;
  for (std::size_t g = 0; g < drawn_groups(c); ++g) {
    for (const std::optional<InSight> sight :
         {std::optional<InSight>(), std::optional(InSight::in)}) {
      auto row = edge_row(c.groups[g], g, sight);
      if (!row) continue;
      any = any || row->value || row->band;
      chart.rows.push_back(std::move(*row));
    }
  }
  if (!any) return;
  charts.push_back({"edge", "How far the link holds",
                    "For each group, the distance at which half of the places hold the link: "
                    "measured with its interval, and predicted with the distances of 90 and 10 %. "
                    "An arrow: farther (or nearer) than any place asked.",
                    rows_chart_svg(chart)});
}

std::string contrast_words(const Contrast& c) {
  if (c.kind == Contrast::Kind::groups) return c.a + " less " + c.b;
  if (c.kind == Contrast::Kind::sight) return c.group + ": in less out of sight";
  return c.group + ": outdoor less " + c.b;
}

void add_differences(std::vector<NamedChart>& charts, const Comparison& c) {
  constexpr std::size_t most_rows = 30;
  for (const Measure m : all_measures) {
    RowsChart chart{
        .x_title = fmt::format("difference of the {}, {}", words_of(m), unit_of_difference(m)),
        .zero_line = true,
        .values_are = "like with like, with its " + percent(c) + " interval",
        .bands_are = "",
        .rows = {}};
    bool any = false;
    for (const Contrast& contrast : c.contrasts) {
      const Difference& d = contrast.differences[m];
      if (d.a_count + d.a_alone == 0 || d.b_count + d.b_alone == 0) continue;
      if (chart.rows.size() == most_rows) break;
      std::size_t g = 0;
      while (g < c.groups.size() && c.groups[g].label != contrast.a &&
             c.groups[g].label != contrast.group) {
        ++g;
      }
      ChartRow row{.words = contrast_words(contrast), .group = g, .value = {}, .band = {}};
      if (d.told()) {
        row.value = ChartValue{d.effect, 0.0, d.interval.low, d.interval.high};
        any = true;
      } else {
        row.note = "too few to say";
      }
      chart.rows.push_back(std::move(row));
    }
    if (!any) continue;
    charts.push_back({"difference_" + words_of(m), "Differences of the " + words_of(m),
                      "Each difference with its interval; one that crosses the line of zero is not "
                      "shown to be there.",
                      rows_chart_svg(chart)});
  }
}

void add_bias(std::vector<NamedChart>& charts, const Comparison& c) {
  RowsChart chart{.x_title = "level, measured less predicted, dB",
                  .zero_line = true,
                  .values_are = "median, with its " + percent(c) + " interval",
                  .bands_are = "one standard deviation of the stretches",
                  .rows = {}};
  for (std::size_t g = 0; g < drawn_groups(c); ++g) {
    const Agreement& a = c.groups[g].agreement[Measure::level];
    if (a.count == 0) continue;
    ChartRow row{.words = fmt::format("{} ({})", c.groups[g].label, a.count),
                 .group = g,
                 .value = ChartValue{a.bias, 0.0, a.of_bias.low, a.of_bias.high},
                 .band = ChartValue{a.bias, 0.0, a.bias - a.spread, a.bias + a.spread}};
    chart.rows.push_back(std::move(row));
  }
  if (chart.rows.empty()) return;
  charts.push_back({"predicted", "Measured less predicted level",
                    "For each group the median of measured less predicted level with its interval, "
                    "and one standard deviation to either side.",
                    rows_chart_svg(chart)});
}

}  // namespace

std::vector<NamedChart> compare_charts(const Comparison& comparison) {
  std::vector<NamedChart> charts;
  if (comparison.bins > 0) {
    add_measures(charts, comparison);
    add_links(charts, comparison);
    add_edges(charts, comparison);
  }
  add_differences(charts, comparison);
  add_bias(charts, comparison);
  return charts;
}

}  // namespace sim
