#include "sim/report/compare_tables.h"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "sim/explain/wording.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

int decimals_of(Measure m, double value) { return m == Measure::level ? 1 : decimals_for(value); }

/// "412 [380, 440] n 31", or with "too few".
std::string measured_text(Measure m, const Middle& middle) {
  if (middle.stretches == 0) return "";
  const int d = decimals_of(m, middle.median);
  if (std::isnan(middle.of_median.low)) {
    return fmt::format("{} (too few: {})", fixed(middle.median, d), middle.stretches);
  }
  return fmt::format("{} ({} to {}; {})", fixed(middle.median, d), fixed(middle.of_median.low, d),
                     fixed(middle.of_median.high, d), middle.stretches);
}

std::string share_text(const LinkShare& linked) {
  if (linked.stretches == 0) return "";
  const std::string share = fixed(100.0 * linked.share, 0);
  if (std::isnan(linked.of_share.low)) {
    return fmt::format("{} (too few: {})", share, linked.stretches);
  }
  return fmt::format("{} ({} to {}; {})", share, fixed(100.0 * linked.of_share.low, 0),
                     fixed(100.0 * linked.of_share.high, 0), linked.stretches);
}

std::string interval_note(const Comparison& c) {
  return fmt::format("in brackets the {:.0f} % interval and the count of stretches",
                     100.0 * c.settings.bootstrap.share);
}

std::string bin_text(int bin, double bin_m, LengthUnits units) {
  constexpr double foot_m = 0.3048;
  std::string text = fmt::format("{:g} to {:g}", bin * bin_m, (bin + 1) * bin_m);
  if (units == LengthUnits::imperial) {
    text += fmt::format(" ({:.0f} to {:.0f} ft)", bin * bin_m / foot_m, (bin + 1) * bin_m / foot_m);
  }
  return text;
}

void add_bin(PageTable& table, const Comparison& c, const GroupResult& group, int bin,
             const std::optional<InSight>& sight, LengthUnits units) {
  const std::string where = bin_text(bin, c.settings.bin_m, units);
  if (const auto* cell = group.measured_in({bin, sight, group.situation})) {
    std::vector<std::string> row{group.label, sight_words(sight), where, "measured",
                                 std::to_string(cell->rows)};
    for (const Measure m : all_measures) row.push_back(measured_text(m, cell->middles[m]));
    row.push_back(share_text(cell->linked));
    table.rows.push_back(std::move(row));
  }
  if (const auto* cell = group.predicted_in({bin, sight, ""})) {
    std::vector<std::string> row{group.label, sight_words(sight), where, "predicted",
                                 std::to_string(cell->places)};
    for (const Measure m : all_measures) {
      const PlaceSpread& s = cell->spreads[m];
      row.push_back(std::isnan(s.median)
                        ? ""
                        : fmt::format("{} [{} to {}]", fixed(s.median, decimals_of(m, s.median)),
                                      fixed(s.tenth, decimals_of(m, s.median)),
                                      fixed(s.ninetieth, decimals_of(m, s.median))));
    }
    row.push_back(fixed(100.0 * cell->mean_hold, 0));
    table.rows.push_back(std::move(row));
  }
}

std::vector<std::string> measure_header(std::vector<std::string> before) {
  for (const Measure m : all_measures) {
    before.push_back(fmt::format("{}, {}", words_of(m), unit_of(m)));
  }
  before.emplace_back("link holds, %");
  return before;
}

}  // namespace

PageTable groups_table(const Comparison& c, LengthUnits units) {
  PageTable table{.caption = "Each group, all distances together: medians; " + interval_note(c) +
                             ". Groups at other distances are not alike: see the bins below.",
                  .header = measure_header({c.by, "radio", "rows", "stretches", "median distance"}),
                  .rows = {},
                  .first_number = 2};
  for (const GroupResult& group : c.groups) {
    std::string radios;
    for (const RadioKind& r : group.radios) {
      radios += (radios.empty() ? "" : "; ") +
                fmt::format("{:g} GHz, {:g} MHz", r.frequency_ghz, r.bandwidth_mhz);
    }
    std::vector<std::string> row{
        group.label, radios, std::to_string(group.rows), std::to_string(group.stretches),
        std::isnan(group.median_distance_m) ? "" : length_text(group.median_distance_m, units)};
    const auto* cell = group.measured_in({std::nullopt, std::nullopt, ""});
    for (const Measure m : all_measures) {
      row.push_back(cell != nullptr ? measured_text(m, cell->middles[m]) : "");
    }
    row.push_back(cell != nullptr ? share_text(cell->linked) : "");
    table.rows.push_back(std::move(row));
  }
  return table;
}

PageTable edges_table(const Comparison& c, LengthUnits units) {
  PageTable table{
      .caption = fmt::format("How far the link holds: the distance at which nine in ten, half and "
                             "one in ten of the places hold, with the {:.0f} % interval of a "
                             "measured one.",
                             100.0 * c.settings.bootstrap.share),
      .header = {c.by, "sight", "from", "samples", "held", "lost", "90 %", "50 %", "10 %"},
      .rows = {},
      .first_number = 3};
  for (const GroupResult& group : c.groups) {
    for (const EdgeOf& edge : group.edges) {
      std::vector<std::string> row{group.label,
                                   sight_words(edge.sight),
                                   source_words(edge.source),
                                   std::to_string(edge.count),
                                   std::to_string(edge.held),
                                   std::to_string(edge.lost)};
      if (edge.edges) {
        for (const HoldEdge& e : edge.edges->edges) {
          row.push_back(edge_text(e, c.settings.bootstrap.share, units));
        }
      } else {
        row.push_back(edge.why_not);  // over the columns that are left
      }
      table.rows.push_back(std::move(row));
    }
  }
  return table;
}

PageTable differences_table(const Comparison& c) {
  PageTable table{.caption =
                      "Differences, like with like: the first less the second. Samples are "
                      "stretches that have their like on the other side. The crude "
                      "difference takes all distances together; do not go by it.",
                  .header = {"first", "second", "of", "quantity", "difference", "interval",
                             "samples", "kinds of place", "crude", "verdict"},
                  .rows = {},
                  .first_number = 4};
  for (const Contrast& contrast : c.contrasts) {
    const auto add = [&](const std::string& quantity, const Difference& d, double scale, int dec) {
      if (d.a_count + d.a_alone == 0 || d.b_count + d.b_alone == 0) return;
      table.rows.push_back(
          {contrast.a, contrast.b, contrast.group, quantity, fixed(scale * d.effect, dec),
           d.told()
               ? fixed(scale * d.interval.low, dec) + " to " + fixed(scale * d.interval.high, dec)
               : "",
           fmt::format("{} and {}", d.a_count, d.b_count), std::to_string(d.strata),
           fixed(scale * d.crude, dec),
           d.told() ? (d.shown() ? "shown" : "not shown") : "too few to say"});
    };
    for (const Measure m : all_measures) {
      const Difference& d = contrast.differences[m];
      const double size = std::max(std::abs(d.interval.low), std::abs(d.interval.high));
      add(fmt::format("{}, {}", words_of(m), unit_of_difference(m)), d, 1.0, decimals_of(m, size));
    }
    add("link holds, %", contrast.linked, 100.0, 0);
  }
  return table;
}

PageTable bins_table(const Comparison& c, LengthUnits units) {
  PageTable table{
      .caption = "By distance and sight, held as most rows were: measured medians, " +
                 interval_note(c) +
                 "; predicted medians, in square brackets the 10 and 90 % of the places.",
      .header = measure_header({c.by, "sight", "distance, m", "from", "rows, places"}),
      .rows = {},
      .first_number = 4};
  for (const std::optional<InSight> sight :
       {std::optional(InSight::in), std::optional(InSight::out), std::optional<InSight>()}) {
    for (int bin = 0; bin < c.bins; ++bin) {
      for (const GroupResult& group : c.groups) add_bin(table, c, group, bin, sight, units);
    }
  }
  return table;
}

PageTable situations_table(const Comparison& c) {
  PageTable table{.caption = "By the way the phone was held or housed, all distances together; " +
                             interval_note(c) + ".",
                  .header = measure_header({c.by, "held", "rows"}),
                  .rows = {},
                  .first_number = 2};
  std::set<std::string> ways;
  for (const GroupResult& group : c.groups) {
    for (const MeasuredCell& cell : group.measured) {
      if (cell.subset.bin || cell.subset.sight || cell.subset.situation.empty()) continue;
      ways.insert(cell.subset.situation);
      std::vector<std::string> row{group.label, cell.subset.situation, std::to_string(cell.rows)};
      for (const Measure m : all_measures) row.push_back(measured_text(m, cell.middles[m]));
      row.push_back(share_text(cell.linked));
      table.rows.push_back(std::move(row));
    }
  }
  if (ways.size() < 2) table.rows.clear();
  return table;
}

}  // namespace sim
