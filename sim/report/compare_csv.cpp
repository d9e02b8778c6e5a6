#include <fmt/format.h>

#include <cmath>

#include "sim/gis/csv_file.h"
#include "sim/report/compare_files.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// One line of compare.csv.
struct Line {
  std::size_t rows = 0, samples = 0;
  double value = nan, low = nan, high = nan, spread_low = nan, spread_high = nan;
  int decimals = 2;
};

std::string verdict(const Difference& d) {
  if (!d.told()) return "too_few";
  return d.shown() ? "shown" : "not_shown";
}

class CompareCsv {
 public:
  explicit CompareCsv(double bin_m) : bin_m_(bin_m) {}

  void add(const GroupResult& group, const Subset& subset, const char* source,
           const std::string& quantity, const std::string& situation, const Line& line) {
    const bool any = !subset.bin;
    text_ += fmt::format(
        "{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", csv_field(group.label), source, quantity,
        situation, subset.sight ? std::string(to_string(*subset.sight)) : "any",
        any ? "" : fixed(bin_m_ * *subset.bin, 1), any ? "" : fixed(bin_m_ * (*subset.bin + 1), 1),
        line.rows > 0 ? std::to_string(line.rows) : "", line.samples,
        fixed(line.value, line.decimals), fixed(line.low, line.decimals),
        fixed(line.high, line.decimals), fixed(line.spread_low, line.decimals),
        fixed(line.spread_high, line.decimals), enough(source, line));
  }
  std::string take() { return std::move(text_); }

 private:
  static std::string enough(const std::string& source, const Line& line) {
    if (source != "measured") return "";
    return std::isnan(line.low) ? "too_few" : "yes";
  }
  double bin_m_;
  std::string text_ =
      "group,source,quantity,situation,sight,from_m,to_m,rows,samples,value,low,high,spread_low,"
      "spread_high,enough\n";
};

void add_measured(CompareCsv& csv, const GroupResult& group, const MeasuredCell& cell) {
  const std::string situation = cell.subset.situation.empty() ? "any" : cell.subset.situation;
  for (const Measure m : all_measures) {
    const Middle& middle = cell.middles[m];
    if (middle.stretches == 0) continue;
    csv.add(group, cell.subset, "measured", std::string(column_of(m)), situation,
            {middle.rows, middle.stretches, middle.median, middle.of_median.low,
             middle.of_median.high, middle.lower_quartile, middle.upper_quartile});
  }
  if (cell.linked.stretches == 0) return;
  csv.add(group, cell.subset, "measured", "link_share", situation,
          {cell.linked.rows, cell.linked.stretches, cell.linked.share, cell.linked.of_share.low,
           cell.linked.of_share.high, nan, nan, 4});
}

void add_predicted(CompareCsv& csv, const GroupResult& group, const PredictedCell& cell) {
  for (const Measure m : all_measures) {
    if (std::isnan(cell.spreads[m].median)) continue;
    csv.add(group, cell.subset, "predicted", std::string(column_of(m)), "site",
            {0, cell.places, cell.spreads[m].median, nan, nan, cell.spreads[m].tenth,
             cell.spreads[m].ninetieth});
  }
  csv.add(group, cell.subset, "predicted", "link_share", "site",
          {0, cell.places, cell.mean_hold, nan, nan, nan, nan, 4});
}

}  // namespace

void write_compare_csv(const std::string& path, const Comparison& comparison) {
  CompareCsv csv(comparison.settings.bin_m);
  for (const GroupResult& group : comparison.groups) {
    for (const MeasuredCell& cell : group.measured) add_measured(csv, group, cell);
    for (const PredictedCell& cell : group.predicted) add_predicted(csv, group, cell);
  }
  write_text(path, csv.take());
}

void write_edges_csv(const std::string& path, const Comparison& comparison) {
  std::string text =
      "group,source,sight,probability,distance_m,low_m,high_m,at_end,low_open,high_open,samples,"
      "held,lost,note\n";
  for (const GroupResult& group : comparison.groups) {
    for (const EdgeOf& edge : group.edges) {
      const std::string head =
          fmt::format("{},{},{}", csv_field(group.label), to_string(edge.source),
                      edge.sight ? std::string(to_string(*edge.sight)) : "any");
      const std::string counts = fmt::format("{},{},{}", edge.count, edge.held, edge.lost);
      if (!edge.edges) {
        text += fmt::format("{},,,,,,,,{},{}\n", head, counts, csv_field(edge.why_not));
        continue;
      }
      for (const HoldEdge& e : edge.edges->edges) {
        text +=
            fmt::format("{},{},{},{},{},{},{},{},{},\n", head, fixed(e.probability, 1),
                        fixed(e.distance_m, 1), fixed(e.interval.low, 1), fixed(e.interval.high, 1),
                        e.beyond ? "beyond" : (e.before ? "before" : ""), e.low_open ? "yes" : "",
                        e.high_open ? "yes" : "", counts);
      }
    }
  }
  write_text(path, text);
}

void write_differences_csv(const std::string& path, const Comparison& comparison) {
  std::string text =
      "kind,group,a,b,quantity,difference,low,high,method,verdict,a_samples,b_samples,strata,"
      "a_without_like,b_without_like,crude_difference\n";
  for (const Contrast& c : comparison.contrasts) {
    const auto add = [&](const std::string& quantity, const Difference& d, int decimals) {
      if (d.a_count + d.a_alone == 0 || d.b_count + d.b_alone == 0) return;
      text += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", to_string(c.kind),
                          csv_field(c.group), csv_field(c.a), csv_field(c.b), quantity,
                          fixed(d.effect, decimals), fixed(d.interval.low, decimals),
                          fixed(d.interval.high, decimals), d.method, verdict(d), d.a_count,
                          d.b_count, d.strata, d.a_alone, d.b_alone, fixed(d.crude, decimals));
    };
    for (const Measure m : all_measures) add(std::string(column_of(m)), c.differences[m], 2);
    add("link_share", c.linked, 4);
  }
  write_text(path, text);
}

}  // namespace sim
