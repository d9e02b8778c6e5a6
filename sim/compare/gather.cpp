#include "sim/compare/gather.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/base/parallel.h"
#include "sim/compare/predicted_places.h"
#include "sim/predict/serving_link.h"
#include "sim/survey/held_as.h"
#include "sim/survey/measured_drops.h"
#include "sim/survey/same_place.h"
#include "sim/survey/survey_units.h"
#include "sim/survey/written_column.h"

namespace sim {
namespace {

std::vector<std::optional<LinkResult>> links_of(const RayCaster& caster, const Survey& survey,
                                                const LinkSettings& settings,
                                                const PredictOptions& options) {
  std::vector<std::optional<LinkResult>> links(survey.measurements.size());
  if (caster.scene().nodes.empty()) return links;
  parallel_blocks(links.size(), 8, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Measurement& m = survey.measurements[i];
      if (!m.place) continue;
      auto stand = receiver_point(caster.scene(), "", {m.place->x, m.place->y, 0.0},
                                  options.receiver_height_agl_m, m.context);
      if (!stand) continue;
      stand->receiver.facing = m.facing;
      links[i] = serving_link(caster, stand->receiver, m.node, settings, options);
    }
  });
  return links;
}

/// "64 m" along the street from the node.
std::optional<double> along_m(const Measurement& m) {
  const CellNumber number = number_from_cell(m.along, Quantity::length, 1.0);
  if (number.kind != CellNumber::Kind::value) return std::nullopt;
  return std::abs(number.value);
}

ComparedRow row_of(const Measurement& m, const std::optional<LinkResult>& link,
                   const LinkSettings& settings) {
  ComparedRow row{.place = m.place, .spot = place_name(m), .situation = situation(m)};
  row.measured[Measure::downlink] = m.downlink_mbps;
  row.measured[Measure::uplink] = m.uplink_mbps;
  row.measured[Measure::latency] = m.latency_ms;
  row.measured[Measure::level] = m.rsrp_dbm;
  if (const auto lost = dropped(m, settings.drop_rsrp.value)) row.linked = !*lost;
  row.distance_m = along_m(m);
  if (!link) return row;
  row.distance_m = link->distance_2d_m;
  row.sight = in_sight(link->sight);
  row.predicted[Measure::downlink] = link->downlink_mbps;
  row.predicted[Measure::uplink] = link->uplink_mbps;
  row.predicted[Measure::level] = link->rsrp.value;
  row.predicted_hold = link->p_hold;
  return row;
}

RadioKind radio_of(const Sector& sector) {
  return {sector.frequency.ghz(), sector.bandwidth_mhz * sector.carriers};
}

/// The radios of each group: of the sectors that serve its rows, and of all nodes that places or
/// groups by site are predicted for.
std::vector<std::pair<std::string, RadioKind>> radios_of(
    const Scene& scene, const ComparedSite& site, const GatherOptions& options,
    const std::vector<std::optional<LinkResult>>& links) {
  std::set<std::pair<std::string, RadioKind>> radios;
  for (std::size_t i = 0; i < links.size(); ++i) {
    if (!links[i] || site.rows[i].group.empty()) continue;
    radios.insert(
        {site.rows[i].group, radio_of(scene.nodes[links[i]->node].sectors[links[i]->sector])});
  }
  if (options.grouping.groups_places()) {
    for (const Node& node : scene.nodes) {
      for (const Sector& sector : node.sectors) {
        radios.insert({place_group(node, options), radio_of(sector)});
      }
    }
  }
  return {radios.begin(), radios.end()};
}

}  // namespace

ComparedSite gather_site(const RayCaster& caster, const ImportedSite& imported,
                         const Survey& survey, const LinkSettings& settings,
                         const GatherOptions& options) {
  const Scene& scene = caster.scene();
  ComparedSite site{.name = options.site_name,
                    .leaf_on = scene.conditions.leaf_on,
                    .rain_mm_per_h = scene.conditions.rain_mm_per_h,
                    .predicted_context = std::string(to_string(scene.conditions.receiver_context)),
                    .has_node = !scene.nodes.empty()};
  const auto links = links_of(caster, survey, settings, options.predict);
  std::vector<std::string> serving(links.size());
  for (std::size_t i = 0; i < links.size(); ++i) {
    if (links[i]) serving[i] = scene.nodes[links[i]->node].id;
  }
  const auto labels = group_labels(options.grouping, imported, options.site_name, survey, serving);
  std::vector<std::optional<double>> distances(links.size());
  if (!options.distance_column.empty() && !links.empty()) {
    distances = written_lengths_m(imported, options.distance_column);
  }
  const bool with_site = options.many_sites && options.grouping.is_local();
  site.rows.reserve(links.size());
  for (std::size_t i = 0; i < links.size(); ++i) {
    const Measurement& m = survey.measurements[i];
    ComparedRow row = row_of(m, links[i], settings);
    row.walk = options.site_name + "\n" + m.survey + "\n" + m.run;
    row.group = with_site && !labels[i].empty() ? options.site_name + ": " + labels[i] : labels[i];
    if (distances[i]) row.distance_m = distances[i];
    site.rows.push_back(std::move(row));
  }
  if (options.grouping.groups_places() && site.has_node) {
    add_predicted_places(caster, settings, options, site);
  }
  site.radios = radios_of(scene, site, options, links);
  return site;
}

}  // namespace sim
