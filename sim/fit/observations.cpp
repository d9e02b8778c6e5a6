#include "sim/fit/observations.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sim/base/parallel.h"
#include "sim/link/hold.h"

namespace sim {
namespace {

/// What the row says about the level; nullopt when nothing.
std::optional<Evidence> evidence_in(const Measurement& m) {
  if (m.rsrp_dbm) return Evidence::level;
  if (m.connected && !*m.connected) return Evidence::lost;
  if (m.connected || m.sinr_db || (m.downlink_mbps && *m.downlink_mbps > 0.0)) {
    return Evidence::connected;
  }
  return std::nullopt;
}

double term_of(const LinkResult& link, std::string_view model) {
  for (const LossTerm& term : link.terms) {
    if (term.model == model) return term.loss.value;
  }
  return 0.0;
}

struct Observed {
  std::optional<Observation> row;
  std::string why_not;
};

class Observer {
 public:
  Observer(const RayCaster& caster, const LinkSettings& settings, const ObservationOptions& options)
      : caster_(caster), settings_(settings), options_(options) {}

  Observed observe(const Measurement& m) const {
    const auto evidence = evidence_in(m);
    if (!m.place) return {{}, "has no position"};
    if (!evidence) return {{}, "has neither a level nor connected or not"};
    const auto stand = receiver_point(caster_.scene(), "", {m.place->x, m.place->y, 0.0},
                                      options_.receiver_height_agl_m, m.context);
    if (!stand) return {{}, "lies outside the ground"};
    Observation row{.evidence = *evidence, .level_dbm = m.rsrp_dbm.value_or(std::nan(""))};
    row.receiver = stand->receiver;
    row.receiver.facing = m.facing;
    LinkResult loudest;
    row.rays = rays_to(caster_, row.receiver, settings_, options_, m.node, &loudest);
    if (row.rays.empty()) return {{}, "has no node within radius_m"};
    const double shadow = loudest.sum(TermGroup::diffraction).value;
    if (!options_.deep_shadow_too && shadow > settings_.defaults("fit_shadow_db")) {
      return {{},
              "is deep in shadow, where the level comes by ways that the model knows too little"};
    }
    const double read =
        *evidence == Evidence::level ? settings_.defaults("measured_level_sigma_db") : 0.0;
    row.sigma_db = std::hypot(loudest.sigma.value, read);
    for (std::size_t i = 0; i < row.rays.size(); ++i) {
      if (row.rays[i].node == loudest.node && row.rays[i].sector == loudest.sector) {
        row.strongest = i;
      }
    }
    return {row, ""};
  }

 private:
  const RayCaster& caster_;
  const LinkSettings& settings_;
  const ObservationOptions& options_;
};

/// Connected or lost beside a level read off the phone: compares that level with the threshold.
Observation bound_of(const Observation& row, const Measurement& m, const LinkSettings& settings) {
  Observation bound{.measurement = row.measurement,
                    .evidence = *m.connected ? Evidence::connected : Evidence::lost,
                    .level_dbm = row.level_dbm,
                    .sigma_db = settings.defaults("measured_level_sigma_db"),
                    .weight = 1.0,
                    .receiver = row.receiver,
                    .rays = {}};
  return bound;
}

}  // namespace

LinkSettings fit_settings(const Scene& scene) {
  LinkSettings settings = link_settings(scene);
  settings.defaults.set({.name = "foliage_scale", .value = 1.0, .source = "traced for a fit"});
  settings.defaults.set({.name = "vehicle_offset_db", .value = 0.0, .source = "traced for a fit"});
  return settings;
}

std::vector<Ray> rays_to(const RayCaster& caster, const Receiver& receiver,
                         const LinkSettings& settings, const ObservationOptions& options,
                         const std::string& node_id, LinkResult* loudest) {
  const auto& nodes = caster.scene().nodes;
  const auto& site_nodes = options.site_nodes.empty() ? nodes : options.site_nodes;
  const bool named =
      std::any_of(nodes.begin(), nodes.end(), [&](const Node& node) { return node.id == node_id; });
  std::vector<Ray> rays;
  std::optional<Dbm> best;
  for (NodeIndex n = 0; n < nodes.size(); ++n) {
    if (named && nodes[n].id != node_id) continue;
    if (horizontal_distance_m(nodes[n].position, receiver.position) > options.radius_m) continue;
    for (LinkResult& link : node_links(caster, n, receiver, settings)) {
      Ray ray{
          .node = n, .sector = link.sector, .azimuth = link.azimuth, .elevation = link.elevation};
      ray.foliage_db = link.sum(TermGroup::foliage).value;
      ray.in_vehicle = receiver.context == ReceiverContext::in_vehicle;
      ray.behind_body = receiver.context == ReceiverContext::body_blocked;
      ray.reflected = link.reflection_gain > Db(0.0);
      const Db corrected = link.eirp - site_nodes[n].sectors[link.sector].eirp;
      ray.fixed_dbm = (link.rsrp - link.pattern - link.broadcast - corrected).value +
                      ray.foliage_db + term_of(link, "body");
      rays.push_back(ray);
      if (!best || link.rsrp > *best) {
        best = link.rsrp;
        if (loudest != nullptr) *loudest = std::move(link);
      }
    }
  }
  return rays;
}

Observations observe(const RayCaster& caster, const Survey& survey, const LinkSettings& settings,
                     const ObservationOptions& options) {
  const Observer observer(caster, settings, options);
  std::vector<Observed> observed(survey.measurements.size());
  parallel_blocks(observed.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      observed[i] = observer.observe(survey.measurements[i]);
    }
  });
  Observations all;
  for (std::size_t i = 0; i < observed.size(); ++i) {
    if (!observed[i].row) {
      all.left_out.push_back({i, observed[i].why_not});
      continue;
    }
    Observation row = std::move(*observed[i].row);
    row.measurement = i;
    const Measurement& m = survey.measurements[i];
    if (m.rsrp_dbm && m.connected) all.rows.push_back(bound_of(row, m, settings));
    all.rows.push_back(std::move(row));
  }
  weigh_rows(all.rows, settings);
  return all;
}

void weigh_rows(std::vector<Observation>& rows, const LinkSettings& settings) {
  const double los = settings.defaults("shadow_correlation_los_m");
  const double shadow = settings.shadow_sigma_los_db;
  const double reach_m = 6.0 * los;  // beyond, exp(-6) is nothing
  std::vector<std::size_t> by_x(rows.size());
  std::iota(by_x.begin(), by_x.end(), 0U);
  const auto x_of = [&](std::size_t i) { return rows[i].receiver.position.x_m; };
  std::stable_sort(by_x.begin(), by_x.end(),
                   [&](std::size_t a, std::size_t b) { return x_of(a) < x_of(b); });
  std::vector<double> others(rows.size(), 0.0);
  for (std::size_t k = 0; k < by_x.size(); ++k) {
    for (std::size_t l = k + 1; l < by_x.size(); ++l) {
      const std::size_t i = by_x[k], j = by_x[l];
      if (x_of(j) - x_of(i) > reach_m) break;
      const Observation &a = rows[i], &b = rows[j];
      if (a.rays.empty() || b.rays.empty()) continue;
      if (a.rays[a.strongest].node != b.rays[b.strongest].node) continue;
      const double apart = horizontal_distance_m(a.receiver.position, b.receiver.position);
      const double both = shadow * shadow / (a.sigma_db * b.sigma_db);
      const double rho = std::min(both, 1.0) * shadow_correlation(apart, los);
      others[i] += rho;
      others[j] += rho;
    }
  }
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].weight = 1.0 / (1.0 + others[i]);
}

}  // namespace sim
