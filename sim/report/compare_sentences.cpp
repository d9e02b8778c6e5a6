#include "sim/report/compare_sentences.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/explain/wording.h"

namespace sim {
namespace {

std::string percent(double share) { return fmt::format("{:.0f} %", 100.0 * share); }

std::string interval_text(const ConfidenceInterval& interval, double share, int decimals) {
  return fmt::format("{}: {:.{}f} to {:.{}f}", percent(share), interval.low, decimals,
                     interval.high, decimals);
}

std::string counted(std::size_t count, const std::string& thing) {
  return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "es");
}

std::string situation_words(const std::string& situation) {
  if (situation == "in_vehicle") return "in a vehicle";
  if (situation == "behind_glass") return "behind glass";
  if (situation == "hand") return "with a hand over the phone";
  if (situation == "body") return "behind a body";
  if (situation == "in_sight") return "in line of sight";
  if (situation == "out_of_sight") return "out of line of sight";
  return situation;
}

/// "A against B", and what was alike.
std::string who(const Comparison& all, const Contrast& c) {
  switch (c.kind) {
    case Contrast::Kind::groups:
      return fmt::format("{} against {}", called(all, c.a), called(all, c.b));
    case Contrast::Kind::car:
    case Contrast::Kind::sight:
      break;
  }
  return fmt::format("{}: {} against {}", called(all, c.group), situation_words(c.a),
                     situation_words(c.b));
}

std::string alike(const Comparison& all, const Contrast& c) {
  if (all.bins == 0) return "all distances together, for none is known";
  switch (c.kind) {
    case Contrast::Kind::groups:
      return "at like distance, sight and way of holding";
    case Contrast::Kind::car:
      return "at like distance and sight";
    case Contrast::Kind::sight:
      break;
  }
  return "at like distance and way of holding";
}

std::string one_difference(const std::string& what, const std::string& unit, double scale,
                           int decimals, const Difference& d, double share) {
  const ConfidenceInterval interval{scale * d.interval.low, scale * d.interval.high};
  const std::string counts = fmt::format("{} and {}", d.a_count, counted(d.b_count, "stretch"));
  if (d.shown()) {
    return fmt::format("{} {:.{}f} {} {} ({}; {})", what, std::abs(scale * d.effect), decimals,
                       unit, d.effect > 0.0 ? "higher" : "lower",
                       interval_text(interval, share, decimals), counts);
  }
  return fmt::format("{} no difference shown ({} {}; {})", what,
                     interval_text(interval, share, decimals), unit, counts);
}

/// What is told of one contrast, and what there is too little of.
struct ContrastWords {
  std::string told, few;
};

ContrastWords contrast_words(const Comparison& all, const Contrast& c) {
  ContrastWords words;
  const auto tell = [&](const std::string& what, const std::string& unit, double scale,
                        int decimals, const Difference& d) {
    if (d.a_count + d.a_alone == 0 || d.b_count + d.b_alone == 0) return;
    std::string& list = d.told() ? words.told : words.few;
    if (d.told()) {
      list += (list.empty() ? "" : "; ") +
              one_difference(what, unit, scale, decimals, d, all.settings.bootstrap.share);
    } else {
      list += (list.empty() ? "" : ", ") + what;
    }
  };
  for (const Measure m : all_measures) {
    const Difference& d = c.differences[m];
    const double size = std::max(std::abs(d.interval.low), std::abs(d.interval.high));
    tell(words_of(m), unit_of_difference(m), 1.0, m == Measure::level ? 1 : decimals_for(size), d);
  }
  tell("link held", "percentage points", 100.0, 0, c.linked);
  return words;
}

/// The edge that people ask for first: in line of sight where that is known.
const EdgeOf* edge_of(const GroupResult& group, EdgeOf::Source source) {
  const EdgeOf* any = nullptr;
  for (const EdgeOf& edge : group.edges) {
    if (edge.source != source) continue;
    if (edge.sight == InSight::in && edge.edges) return &edge;
    if (!edge.sight) any = &edge;
  }
  return any;
}

/// "at 229 m", "beyond 300 m".
std::string edge_place(const HoldEdge& edge, double share, LengthUnits units) {
  return (edge.beyond || edge.before ? "" : "at ") + edge_text(edge, share, units);
}

std::string edge_words(const GroupResult& group, double share, LengthUnits units) {
  std::string text;
  if (const EdgeOf* edge = edge_of(group, EdgeOf::Source::predicted); edge && edge->edges) {
    const auto& at = edge->edges->edges;
    text += fmt::format(" Predicted {}: nine places in ten hold {}, half {}, one in ten {}.",
                        sight_words(edge->sight), edge_place(at[0], share, units),
                        edge_place(at[1], share, units), edge_place(at[2], share, units));
  }
  if (const EdgeOf* edge = edge_of(group, EdgeOf::Source::measured)) {
    if (edge->edges) {
      text += fmt::format(" Measured {}: half hold {}.", sight_words(edge->sight),
                          edge_place(edge->edges->edges[1], share, units));
    } else {
      text += fmt::format(" No measured edge: {}.", edge->why_not);
    }
  }
  return text;
}

}  // namespace

std::string words_of(Measure measure) {
  switch (measure) {
    case Measure::downlink:
      return "downlink";
    case Measure::uplink:
      return "uplink";
    case Measure::latency:
      return "latency";
    case Measure::level:
      break;
  }
  return "level";
}

std::string unit_of(Measure measure) {
  if (measure == Measure::latency) return "ms";
  return measure == Measure::level ? "dBm" : "Mbit/s";
}

std::string unit_of_difference(Measure measure) {
  return measure == Measure::level ? "dB" : unit_of(measure);
}

int decimals_for(double value) {
  const double size = std::abs(value);
  if (!(size < 20.0)) return 0;
  return size < 2.0 ? 2 : 1;
}

std::string called(const Comparison& comparison, const std::string& label) {
  const bool bare = !label.empty() && label.find_first_not_of("0123456789.-") == std::string::npos;
  return bare ? comparison.by + " " + label : label;
}

std::string middle_text(Measure measure, const Middle& middle, double share) {
  if (middle.stretches == 0) return "not measured";
  const int decimals = measure == Measure::level ? 1 : decimals_for(middle.median);
  const std::string count = counted(middle.stretches, "stretch");
  const std::string value = fmt::format("{:.{}f} {}", middle.median, decimals, unit_of(measure));
  if (std::isnan(middle.of_median.low)) {
    return fmt::format("{} ({}: too few for an interval)", value, count);
  }
  return fmt::format("{} ({}; {})", value, interval_text(middle.of_median, share, decimals), count);
}

std::string edge_text(const HoldEdge& edge, double share, LengthUnits units) {
  if (edge.beyond) return "beyond " + length_text(edge.distance_m, units);
  if (edge.before) return "nearer than " + length_text(edge.distance_m, units);
  std::string at = length_text(edge.distance_m, units);
  if (std::isnan(edge.interval.low)) return at;
  return fmt::format("{} ({}: {}{:.0f} to {}{})", at, percent(share),
                     edge.low_open ? "nearer than " : "", edge.interval.low,
                     edge.high_open ? "beyond " : "", length_text(edge.interval.high, units));
}

std::string sight_words(const std::optional<InSight>& sight) {
  if (!sight) return "in or out of sight";
  if (*sight == InSight::unknown) return "where sight is not known";
  return *sight == InSight::in ? "in line of sight" : "out of line of sight";
}

std::string source_words(EdgeOf::Source source) {
  switch (source) {
    case EdgeOf::Source::measured:
      return "measured";
    case EdgeOf::Source::predicted_there:
      return "predicted there";
    case EdgeOf::Source::predicted:
      break;
  }
  return "predicted, all places";
}

std::vector<std::string> group_sentences(const Comparison& comparison, LengthUnits units) {
  const double share = comparison.settings.bootstrap.share;
  std::vector<std::string> sentences;
  for (const GroupResult& group : comparison.groups) {
    std::string text = called(comparison, group.label) + ": ";
    if (const MeasuredCell* cell = group.measured_in({std::nullopt, std::nullopt, ""})) {
      std::string list;
      for (const Measure m : all_measures) {
        if (cell->middles[m].stretches == 0) continue;
        list += (list.empty() ? "" : ", ") + words_of(m) + " " +
                middle_text(m, cell->middles[m], share);
      }
      text += fmt::format("{} rows; {}", group.rows, list.empty() ? "no rate or level" : list);
      if (cell->linked.stretches > 0) {
        text += fmt::format(", link held on {}", percent(cell->linked.share));
        if (!std::isnan(cell->linked.of_share.low)) {
          text +=
              fmt::format(" ({}: {:.0f} to {:.0f} %)", percent(share),
                          100.0 * cell->linked.of_share.low, 100.0 * cell->linked.of_share.high);
        }
      }
      text += ".";
    } else {
      text += fmt::format("predicted only, at {} places.", group.places);
    }
    sentences.push_back(text + edge_words(group, share, units));
  }
  return sentences;
}

std::vector<std::string> contrast_sentences(const Comparison& comparison) {
  std::vector<std::string> sentences;
  std::string nothing;
  for (const Contrast& c : comparison.contrasts) {
    const ContrastWords words = contrast_words(comparison, c);
    if (words.told.empty()) {
      nothing += (nothing.empty() ? "" : "; ") + who(comparison, c);
      continue;
    }
    const std::string few = words.few.empty() ? "" : "; too few to say: " + words.few;
    sentences.push_back(
        fmt::format("{}, {}: {}{}.", who(comparison, c), alike(comparison, c), words.told, few));
  }
  if (!nothing.empty()) {
    sentences.push_back(
        fmt::format("Too few to say (it takes {} stretches a side that have their "
                    "like on the other): {}.",
                    least_bootstrap_values, nothing));
  }
  return sentences;
}

std::vector<std::string> agreement_sentences(const Comparison& comparison) {
  const double share = comparison.settings.bootstrap.share;
  std::vector<std::string> sentences;
  for (const GroupResult& group : comparison.groups) {
    const Agreement& a = group.agreement[Measure::level];
    if (a.count == 0) continue;
    std::string text = fmt::format("{}, level measured less predicted: median {:+.1f} dB",
                                   called(comparison, group.label), a.bias);
    text += std::isnan(a.of_bias.low) ? " (too few for an interval)"
                                      : fmt::format(" ({})", interval_text(a.of_bias, share, 1));
    text += fmt::format(", spread {:.1f} dB", a.spread);
    if (!std::isnan(a.correlation)) {
      text += fmt::format(", correlation {:.2f}", a.correlation);
      if (!std::isnan(a.of_correlation.low)) {
        text += fmt::format(" ({})", interval_text(a.of_correlation, share, 2));
      }
    }
    sentences.push_back(text + fmt::format(", {}.", counted(a.count, "stretch")));
  }
  return sentences;
}

std::vector<std::string> verdict_sentences(const Comparison& comparison, LengthUnits units) {
  std::vector<std::string> all = contrast_sentences(comparison);
  for (const auto& list : {group_sentences(comparison, units), agreement_sentences(comparison)}) {
    all.insert(all.end(), list.begin(), list.end());
  }
  return all;
}

}  // namespace sim
