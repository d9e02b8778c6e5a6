#include <fmt/format.h>

#include <cmath>

#include "sim/gis/csv_file.h"
#include "sim/report/answers.h"
#include "sim/report/number_text.h"
#include "sim/report/survey_files.h"

namespace sim {
namespace {

/// What stands between the phone and the street in the ledger; with the phone's turning for a pair
/// that differs in it.
double housing_db(const LinkResult& link, MeasuredPair::Kind kind) {
  double db = kind == MeasuredPair::Kind::facing ? link.turned_away.value : 0.0;
  for (const LossTerm& term : link.terms) {
    if (term.cause == Cause::enclosure || term.cause == Cause::body) db += term.loss.value;
  }
  return db;
}

/// Mean over the rows that have a predicted link; nullopt without one.
std::optional<double> mean_housing_db(const std::vector<std::size_t>& rows, MeasuredPair::Kind kind,
                                      const Explanation& explanation) {
  double sum = 0.0;
  std::size_t count = 0;
  for (const std::size_t row : rows) {
    if (row >= explanation.points.size()) continue;
    const ExplainedPoint& p = explanation.points[row];
    if (!p.link) continue;
    // A link of a phone turned another way than the row's says nothing about its turning.
    if (kind == MeasuredPair::Kind::facing && !p.link->receiver.facing) continue;
    sum += housing_db(*p.link, kind);
    ++count;
  }
  return count == 0 ? std::nullopt : std::optional(sum / static_cast<double>(count));
}

struct NamedQuantity {
  const char* name;
  const PairedQuantity* values;
};
std::vector<NamedQuantity> measured_quantities(const MeasuredPair& pair) {
  std::vector<NamedQuantity> list;
  for (const auto& [name, q] :
       {std::pair{"rsrp_dbm", &pair.rsrp_dbm}, std::pair{"downlink_mbps", &pair.downlink_mbps},
        std::pair{"uplink_mbps", &pair.uplink_mbps}}) {
    if (q->reference_count > 0 && q->other_count > 0) list.push_back({name, q});
  }
  return list;
}

std::string range_text(const ConfidenceInterval& interval, double factor, int decimals) {
  if (!std::isfinite(interval.low)) return "";
  return fmt::format(" ({} to {})", fixed(factor * interval.low, decimals),
                     fixed(factor * interval.high, decimals));
}

/// "3 and 4 rows", and whether they are enough to tell anything by.
std::string counts_text(const PairedQuantity& q) {
  return fmt::format("{} and {} row{}{}", q.other_count, q.reference_count,
                     q.reference_count == 1 ? "" : "s",
                     q.method.empty() ? ", too few for an interval" : "");
}

/// The interval of a gain: what is less of a loss, the other way round.
std::string more_range_text(const ConfidenceInterval& of_loss) {
  return range_text({-of_loss.high, -of_loss.low}, 1.0, 1);
}

std::string sentence(const MeasuredPair& pair, const std::optional<double>& predicted) {
  std::string text = pair.other + " against " + pair.reference +
                     (pair.name.empty() ? "" : " at " + pair.name) + ": ";
  std::string said;
  const PairedQuantity& level = pair.rsrp_dbm;
  if (level.reference_count > 0 && level.other_count > 0) {
    said += fixed(std::abs(level.difference), 1) +
            (level.difference < 0.0 ? " dB more" : " dB less") +
            (level.difference < 0.0 ? more_range_text(level.of_difference)
                                    : range_text(level.of_difference, 1.0, 1)) +
            " of " + counts_text(level);
    if (predicted) said += "; the ledger has " + fixed(*predicted, 1) + " dB less";
  }
  const PairedQuantity& rate = pair.downlink_mbps;
  if (rate.reference_count > 0 && rate.other_count > 0 && std::isfinite(rate.ratio)) {
    said += (said.empty() ? "" : "; ") + std::string("downlink ") + fixed(100.0 * rate.ratio, 0) +
            " %" + range_text(rate.of_ratio, 100.0, 0) +
            fmt::format(" of {:.0f} Mbit/s, ", rate.reference_median) + counts_text(rate);
    if (rate.repeats_needed) {
      said +=
          fmt::format("; {} repeats a side would show a change by a tenth", *rate.repeats_needed);
    }
  }
  if (pair.other_known > 0) {
    said += fmt::format("{}connected in {} of {} rows, against {} of {}", said.empty() ? "" : "; ",
                        pair.other_connected, pair.other_known, pair.reference_connected,
                        pair.reference_known);
  }
  return text + said;
}

}  // namespace

std::optional<double> predicted_pair_db(const MeasuredPair& pair, const Explanation& explanation) {
  const auto reference = mean_housing_db(pair.reference_rows, pair.kind, explanation);
  const auto other = mean_housing_db(pair.other_rows, pair.kind, explanation);
  if (!reference || !other) return std::nullopt;
  return *other - *reference;
}

void write_pairs_csv(const std::string& path, const ImportedSite& imported, const Survey& survey,
                     const Explanation& explanation) {
  const CrsTransform to_degrees(imported.crs, Crs::wgs84());
  std::string text =
      "kind,name,node,lon,lat,reference,other,quantity,reference_count,other_count,"
      "reference_median,other_median,difference,difference_low,difference_high,method,ratio,"
      "ratio_low,ratio_high,repeats_needed,predicted_db,reference_connected,of_reference,"
      "other_connected,of_other\n";
  for (const MeasuredPair& pair : survey.pairs) {
    const auto predicted = predicted_pair_db(pair, explanation);
    const auto degrees = pair.place ? to_degrees(*pair.place) : std::nullopt;
    for (const auto& [name, q] : measured_quantities(pair)) {
      const bool is_level = q == &pair.rsrp_dbm;
      text += fmt::format(
          "{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n",
          pair.kind == MeasuredPair::Kind::context ? "context" : "facing", csv_field(pair.name),
          csv_field(pair.node), degrees ? fixed(degrees->x, 7) : "",
          degrees ? fixed(degrees->y, 7) : "", pair.reference, pair.other, name, q->reference_count,
          q->other_count, fixed(q->reference_median, 2), fixed(q->other_median, 2),
          fixed(q->difference, 2), fixed(q->of_difference.low, 2), fixed(q->of_difference.high, 2),
          q->method, fixed(q->ratio, 4), fixed(q->of_ratio.low, 4), fixed(q->of_ratio.high, 4),
          q->repeats_needed ? std::to_string(*q->repeats_needed) : "",
          is_level && predicted ? fixed(*predicted, 2) : "", pair.reference_connected,
          pair.reference_known, pair.other_connected, pair.other_known);
    }
  }
  write_text(path, text);
}

std::vector<std::string> pair_sentences(const Survey& survey, const Explanation& explanation) {
  constexpr std::size_t most_lines = 6;
  std::vector<std::string> lines;
  for (const MeasuredPair& pair : survey.pairs) {
    if (lines.size() == most_lines) {
      lines.push_back(
          fmt::format("{} more pairs are in pairs.csv", survey.pairs.size() - most_lines));
      break;
    }
    lines.push_back(sentence(pair, predicted_pair_db(pair, explanation)));
  }
  return lines;
}

}  // namespace sim
