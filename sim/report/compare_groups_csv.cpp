#include <fmt/format.h>

#include "sim/gis/csv_file.h"
#include "sim/report/compare_files.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

/// A header and a cell at once, so that they cannot part.
class WideRow {
 public:
  void add(const std::string& name, const std::string& cell) {
    header_ += (header_.empty() ? "" : ",") + name;
    cells_ += (cells_.empty() ? "" : ",") + cell;
  }
  void add(const std::string& name, double value, int decimals) {
    add(name, fixed(value, decimals));
  }
  void add(const std::string& name, double value, const ConfidenceInterval& interval,
           int decimals) {
    add(name, value, decimals);
    add(name + "_low", interval.low, decimals);
    add(name + "_high", interval.high, decimals);
  }
  const std::string& header() const { return header_; }
  const std::string& cells() const { return cells_; }

 private:
  std::string header_, cells_;
};

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : "; ") + word;
  return text;
}

void add_edges(WideRow& row, const GroupResult& group) {
  for (const auto source : {EdgeOf::Source::measured, EdgeOf::Source::predicted}) {
    for (const std::optional<InSight> sight :
         {std::optional<InSight>(), std::optional(InSight::in)}) {
      const HoldEdges* found = nullptr;
      for (const EdgeOf& edge : group.edges) {
        if (edge.source == source && edge.sight == sight && edge.edges) found = &*edge.edges;
      }
      for (std::size_t k = 0; k < std::size(edge_probabilities); ++k) {
        const HoldEdge edge = found != nullptr ? found->edges[k] : HoldEdge{};
        const std::string name =
            fmt::format("edge_{}{}_{:.0f}_m", to_string(source), sight ? "_in_sight" : "",
                        100.0 * edge_probabilities[k]);
        row.add(name, found != nullptr ? edge.distance_m : std::numeric_limits<double>::quiet_NaN(),
                1);
        if (source != EdgeOf::Source::measured) continue;
        row.add(name + "_low", edge.interval.low, 1);
        row.add(name + "_high", edge.interval.high, 1);
      }
    }
  }
}

WideRow row_of(const GroupResult& group) {
  WideRow row;
  std::vector<std::string> radios;
  for (const RadioKind& r : group.radios) {
    radios.push_back(fmt::format("{:g} GHz {:g} MHz", r.frequency_ghz, r.bandwidth_mhz));
  }
  row.add("group", csv_field(group.label));
  row.add("sites", csv_field(joined(group.sites)));
  row.add("radios", csv_field(joined(radios)));
  row.add("rows", std::to_string(group.rows));
  row.add("stretches", std::to_string(group.stretches));
  row.add("places", std::to_string(group.places));
  row.add("distance_m", group.median_distance_m, group.of_median_distance, 1);
  const MeasuredCell* all = group.measured_in({std::nullopt, std::nullopt, ""});
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  const Middle none{.median = nan, .lower_quartile = nan, .upper_quartile = nan, .of_median = {}};
  for (const Measure m : all_measures) {
    const Middle& middle = all != nullptr ? all->middles[m] : none;
    row.add(std::string(column_of(m)), middle.median, middle.of_median, 2);
    row.add(std::string(column_of(m)) + "_stretches", std::to_string(middle.stretches));
  }
  const LinkShare linked = all != nullptr ? all->linked : LinkShare{.share = nan, .of_share = {}};
  row.add("link_share", linked.share, linked.of_share, 4);
  add_edges(row, group);
  for (const Measure m : {Measure::level, Measure::downlink, Measure::uplink}) {
    const Agreement& a = group.agreement[m];
    const std::string name(column_of(m));
    row.add(name + "_bias", a.bias, a.of_bias, 2);
    row.add(name + "_spread", a.spread, 2);
    row.add(name + "_correlation", a.correlation, a.of_correlation, 3);
    row.add(name + "_compared", std::to_string(a.count));
  }
  return row;
}

}  // namespace

void write_groups_csv(const std::string& path, const Comparison& comparison) {
  std::string text;
  for (const GroupResult& group : comparison.groups) {
    const WideRow row = row_of(group);
    if (text.empty()) text = row.header() + "\n";
    text += row.cells() + "\n";
  }
  write_text(path, text);
}

}  // namespace sim
