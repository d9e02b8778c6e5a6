#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/compare/comparison.h"

namespace sim {
namespace {

/// Distances of two groups are unlike when their medians differ by more than this share of a bin;
/// common practice, no source.
constexpr double unlike_bins = 0.5;

bool has_rows(const GroupResult& group) { return group.rows > 0; }

void warn(Comparison& c, std::string code, std::vector<std::string> groups, std::string text) {
  c.warnings.push_back({std::move(code), std::move(groups), std::move(text)});
}

std::string radio_text(const RadioKind& radio) {
  return fmt::format("{:g} GHz with {:g} MHz", radio.frequency_ghz, radio.bandwidth_mhz);
}

void warn_of_radios(Comparison& c) {
  std::set<double> bands;
  std::set<RadioKind> kinds;
  for (const GroupResult& group : c.groups) {
    for (const RadioKind& radio : group.radios) {
      bands.insert(radio.frequency_ghz);
      kinds.insert(radio);
    }
  }
  if (kinds.size() < 2) return;
  std::string list;
  std::vector<std::string> labels;
  for (const GroupResult& group : c.groups) {
    if (group.radios.empty()) continue;
    labels.push_back(group.label);
    list += (list.empty() ? "" : "; ") + group.label + ": ";
    for (std::size_t i = 0; i < group.radios.size(); ++i) {
      list += (i == 0 ? "" : ", ") + radio_text(group.radios[i]);
    }
  }
  if (bands.size() > 1) {
    warn(c, "mixed_bands", labels,
         fmt::format("Bands are mixed ({}). What differs between them may be the band, not the "
                     "place.",
                     list));
  } else {
    warn(c, "mixed_bandwidths", labels,
         fmt::format("Bandwidths are mixed ({}). Rates grow with the bandwidth; levels do not.",
                     list));
  }
}

void warn_of_seasons(Comparison& c) {
  if (c.sites.size() < 2) return;
  const ComparedSite& first = c.sites.front();
  for (const ComparedSite& site : c.sites) {
    if (site.leaf_on != first.leaf_on) {
      warn(c, "mixed_seasons", {first.name, site.name},
           fmt::format("{} is modelled {} and {} {}: leaves are part of the difference.",
                       first.name, first.leaf_on ? "in leaf" : "bare", site.name,
                       site.leaf_on ? "in leaf" : "bare"));
      break;
    }
  }
  for (const ComparedSite& site : c.sites) {
    if (site.rain_mm_per_h != first.rain_mm_per_h) {
      warn(c, "mixed_weather", {first.name, site.name},
           fmt::format("{} is modelled with {:g} mm/h of rain and {} with {:g}.", first.name,
                       first.rain_mm_per_h, site.name, site.rain_mm_per_h));
      break;
    }
  }
}

void warn_of_counts(Comparison& c) {
  for (const GroupResult& group : c.groups) {
    if (!has_rows(group)) {
      warn(c, "no_survey", {group.label},
           fmt::format("{} has no measurement: only its prediction is shown.", group.label));
    } else if (group.stretches < least_bootstrap_values) {
      warn(c, "few_stretches", {group.label},
           fmt::format("{} has too few measurements to say: {} rows make {} independent "
                       "stretch{}, and an interval takes {}.",
                       group.label, group.rows, group.stretches, group.stretches == 1 ? "" : "es",
                       least_bootstrap_values));
    }
    if (has_rows(group) && group.without_distance > 0 && c.bins > 0) {
      warn(c, "no_distance", {group.label},
           fmt::format("{} of {} rows of {} have no distance from a node: they count only where "
                       "all distances are taken together.",
                       group.without_distance, group.rows, group.label));
    }
  }
}

void warn_of_distances(Comparison& c) {
  if (c.bins == 0) {
    warn(c, "no_distance", {},
         "No row has a distance from a node, so nothing is shown against distance or sight, and "
         "groups that were measured at other distances are not told apart. Name the node in the "
         "site file, or a column of distances with --distance.");
    return;
  }
  for (const Contrast& contrast : c.contrasts) {
    if (contrast.kind != Contrast::Kind::groups) continue;
    const auto named = [&](const std::string& label) -> const GroupResult& {
      return *std::find_if(c.groups.begin(), c.groups.end(),
                           [&](const GroupResult& g) { return g.label == label; });
    };
    const GroupResult &a = named(contrast.a), &b = named(contrast.b);
    const double apart = std::abs(a.median_distance_m - b.median_distance_m);
    const bool overlap = a.of_median_distance.low <= b.of_median_distance.high &&
                         b.of_median_distance.low <= a.of_median_distance.high;
    if (apart > unlike_bins * c.settings.bin_m && !overlap) {
      warn(c, "unlike_distances", {a.label, b.label},
           fmt::format("{} was measured {:.0f} m from the node and {} {:.0f} m (medians): set "
                       "their rates side by side only within one distance.",
                       a.label, a.median_distance_m, b.label, b.median_distance_m));
    }
  }
}

void warn_of_chance(Comparison& c) {
  std::size_t told = 0;
  const auto count = [&](const Difference& d) { told += d.told() ? 1 : 0; };
  for (const Contrast& contrast : c.contrasts) {
    for (const Measure m : all_measures) count(contrast.differences[m]);
    count(contrast.linked);
  }
  constexpr std::size_t few = 5;
  const double false_ones = (1.0 - c.settings.bootstrap.share) * static_cast<double>(told);
  if (told < few) return;
  warn(c, "many_comparisons", {},
       fmt::format("{} differences are looked at; if there were none at all, about {:.1f} would "
                   "still seem to be there by chance.",
                   told, false_ones));
}

}  // namespace

void add_warnings(Comparison& c) {
  if (c.groups.size() == 1) {
    warn(c, "one_group", {c.groups.front().label},
         "There is one group only, so there is nothing to set it against.");
  }
  if (c.unlabelled_rows > 0) {
    warn(c, "unlabelled", {},
         fmt::format("{} of {} rows do not say their {} and are left out.", c.unlabelled_rows,
                     c.rows, c.by));
  }
  warn_of_counts(c);
  warn_of_radios(c);
  warn_of_seasons(c);
  warn_of_distances(c);
  if (!c.every_pair) {
    warn(c, "first_only", {},
         fmt::format("With more than {} groups, each is set against the first ({}) only.",
                     most_paired_groups, c.groups.front().label));
  }
  warn_of_chance(c);
}

}  // namespace sim
