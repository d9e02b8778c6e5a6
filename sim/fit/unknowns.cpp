#include "sim/fit/unknowns.h"

#include <algorithm>
#include <set>

namespace sim {
namespace {

/// The node of a row's strongest ray serves it; all sectors of such nodes may be off.
std::set<NodeIndex> serving_nodes(const std::vector<Observation>& rows) {
  std::set<NodeIndex> nodes;
  for (const Observation& row : rows) {
    if (!row.rays.empty()) nodes.insert(row.rays[row.strongest].node);
  }
  return nodes;
}

template <class Condition>
bool any_ray(const std::vector<Observation>& rows, Condition condition) {
  return std::any_of(rows.begin(), rows.end(), [&](const Observation& row) {
    return !row.rays.empty() && condition(row.rays[row.strongest]);
  });
}

bool any_of_evidence(const std::vector<Observation>& rows, Evidence evidence) {
  return std::any_of(rows.begin(), rows.end(),
                     [&](const Observation& row) { return row.evidence == evidence; });
}

}  // namespace

std::vector<Unknown> unknowns_of(const std::vector<Node>& nodes,
                                 const std::vector<Observation>& rows, const LinkSettings& settings,
                                 bool eirp_per_sector) {
  const Defaults& d = settings.defaults;
  const double level = d("fit_known_level_db");
  std::vector<Unknown> all;
  const auto add_level = [&](Unknown unknown, const std::string& name) {
    unknown.name = name;
    unknown.step = 0.1;
    unknown.known_within = level;
    unknown.plausible = 10.0;
    all.push_back(unknown);
  };
  for (const NodeIndex n : serving_nodes(rows)) {
    const Node& node = nodes[n];
    for (std::uint32_t s = 0; s < node.sectors.size(); ++s) {
      const Sector& sector = node.sectors[s];
      const std::string name = node.id + "/" + sector.id;
      if (eirp_per_sector || s == 0) {
        add_level({.quantity = FitQuantity::eirp,
                   .node = n,
                   .sector = s,
                   .whole_node = !eirp_per_sector,
                   .unit = "dB",
                   .lower = -40.0,
                   .upper = 40.0},
                  "EIRP of " + (eirp_per_sector ? name : node.id));
      }
      if (!sector.table && sector.pattern == "isotropic") continue;
      Unknown azimuth{.quantity = FitQuantity::azimuth,
                      .node = n,
                      .sector = s,
                      .name = "azimuth of " + name,
                      .unit = "deg"};
      azimuth.site = sector.azimuth.degrees();
      azimuth.lower = azimuth.site - 400.0;
      azimuth.upper = azimuth.site + 400.0;
      azimuth.step = 0.5;
      azimuth.known_within = d("fit_known_azimuth_deg");
      azimuth.plausible = 60.0;
      all.push_back(azimuth);
      Unknown downtilt{.quantity = FitQuantity::downtilt,
                       .node = n,
                       .sector = s,
                       .name = "downtilt of " + name,
                       .unit = "deg"};
      downtilt.site = sector.downtilt.degrees();
      downtilt.lower = std::min(-30.0, downtilt.site);
      downtilt.upper = std::max(60.0, downtilt.site);
      downtilt.step = 0.5;
      downtilt.known_within = d("fit_known_downtilt_deg");
      downtilt.plausible = 5.0;
      all.push_back(downtilt);
    }
  }
  constexpr double least_leaves_db = 1.0;
  if (any_ray(rows, [](const Ray& ray) { return ray.foliage_db > least_leaves_db; })) {
    all.push_back({.quantity = FitQuantity::foliage_scale,
                   .name = "foliage loss",
                   .unit = "",
                   .site = settings.defaults("foliage_scale"),
                   .lower = 0.0,
                   .upper = 5.0,
                   .step = 0.02,
                   .known_within = d("fit_known_share"),
                   .plausible = 0.5});
  }
  if (any_ray(rows, [](const Ray& ray) { return ray.in_vehicle; })) {
    add_level(
        {.quantity = FitQuantity::vehicle_offset, .unit = "dB", .lower = -20.0, .upper = 40.0},
        "vehicle entry loss");
  }
  if (any_ray(rows, [](const Ray& ray) { return ray.behind_body; })) {
    add_level({.quantity = FitQuantity::body_loss,
               .unit = "dB",
               .site = d("body_loss_db"),
               .lower = 0.0,
               .upper = 60.0},
              "body loss");
  }
  if (any_of_evidence(rows, Evidence::connected) && any_of_evidence(rows, Evidence::lost)) {
    const double drop = settings.drop_rsrp.value;
    add_level({.quantity = FitQuantity::drop_level,
               .unit = "dBm",
               .site = drop,
               .lower = drop - 40.0,
               .upper = drop + 40.0},
              "level at which the link is lost");
  }
  return all;
}

Eigen::VectorXd site_values(const std::vector<Unknown>& unknowns) {
  Eigen::VectorXd values(static_cast<Eigen::Index>(unknowns.size()));
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    values[static_cast<Eigen::Index>(k)] = unknowns[k].site;
  }
  return values;
}

std::vector<Node> with_values(std::vector<Node> nodes, const std::vector<Unknown>& unknowns,
                              const Eigen::VectorXd& values) {
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    const Unknown& u = unknowns[k];
    const double value = values[static_cast<Eigen::Index>(k)];
    if (u.is_angle()) {
      Sector& sector = nodes[u.node].sectors[u.sector];
      (u.quantity == FitQuantity::azimuth ? sector.azimuth : sector.downtilt) =
          Angle::degrees(value);
    } else if (u.quantity == FitQuantity::eirp) {
      for (std::uint32_t s = 0; s < nodes[u.node].sectors.size(); ++s) {
        if (!u.whole_node && s != u.sector) continue;
        nodes[u.node].sectors[s].eirp = nodes[u.node].sectors[s].eirp + Db(value);
      }
    }
  }
  return nodes;
}

}  // namespace sim
