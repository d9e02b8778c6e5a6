#include <algorithm>
#include <map>
#include <set>

#include "sim/compare/comparison.h"
#include "sim/compare/contrasts.h"
#include "sim/compare/group_result.h"
#include "sim/compare/grouping.h"

namespace sim {
namespace {

/// Everything of one group, wherever it was.
struct Members {
  std::vector<const Stretch*> stretches;
  std::vector<const PredictedPlace*> places;
  std::set<std::string> sites;
  std::set<RadioKind> radios;
};

struct LabelOrder {
  bool operator()(const std::string& a, const std::string& b) const { return label_before(a, b); }
};

}  // namespace

CompareSettings compare_settings(const Defaults& defaults) {
  return {.bin_m = defaults("compare_bin_m"),
          .stretch_m = defaults("compare_stretch_m"),
          .least_edge_outcomes = static_cast<std::size_t>(defaults("compare_edge_outcomes")),
          .bootstrap = bootstrap_settings(defaults)};
}

Comparison compare(std::vector<ComparedSite> sites, const std::string& by,
                   const CompareSettings& settings) {
  Comparison comparison{.by = by, .settings = settings, .sites = {}, .groups = {}};
  std::vector<Stretch> stretches;
  std::map<std::string, Members, LabelOrder> members;
  for (const ComparedSite& site : sites) {
    comparison.rows += site.rows.size();
    for (const ComparedRow& row : site.rows) {
      comparison.unlabelled_rows += row.group.empty() ? 1 : 0;
      if (!row.group.empty()) members[row.group].sites.insert(site.name);
    }
    for (const auto& [group, radio] : site.radios) {
      members[group].sites.insert(site.name);
      members[group].radios.insert(radio);
    }
    const auto some = stretches_of(site.rows, settings.bin_m, settings.stretch_m);
    stretches.insert(stretches.end(), some.begin(), some.end());
  }
  for (const Stretch& s : stretches) {
    members[s.group].stretches.push_back(&s);
    comparison.bins = std::max(comparison.bins, s.like.bin + 1);
  }
  for (const ComparedSite& site : sites) {
    for (const PredictedPlace& p : site.places) {
      members[p.group].places.push_back(&p);
      comparison.bins = std::max(comparison.bins, bin_of(p.distance_m, settings.bin_m) + 1);
    }
  }
  GroupedStretches grouped;
  for (const auto& [label, group] : members) {
    GroupResult result =
        group_result(label, group.stretches, group.places, comparison.bins, settings);
    result.sites.assign(group.sites.begin(), group.sites.end());
    result.radios.assign(group.radios.begin(), group.radios.end());
    comparison.groups.push_back(std::move(result));
    grouped.emplace_back(label, group.stretches);
  }
  comparison.every_pair = grouped.size() <= most_paired_groups;
  comparison.contrasts = contrasts_of(grouped, comparison.every_pair, settings.bootstrap);
  for (ComparedSite& site : sites) {
    site.rows.clear();
    site.places.clear();
  }
  comparison.sites = std::move(sites);
  add_warnings(comparison);
  return comparison;
}

}  // namespace sim
