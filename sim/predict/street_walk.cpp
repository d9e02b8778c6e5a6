#include "sim/predict/street_walk.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "sim/base/parallel.h"
#include "sim/scene/street_line.h"

namespace sim {
namespace {

Xy flat(ScenePoint p) { return {p.x_m, p.y_m}; }

struct NamedLine {
  std::string id, name;
  StreetLine line;
};

/// Every street as few lines as its ways make, in the order of their first ways.
std::vector<NamedLine> joined_streets(const Scene& scene) {
  const auto line_of = [](const Street& street) {
    std::vector<Xy> line;
    for (const ScenePoint p : street.line) line.push_back(flat(p));
    return line;
  };
  std::map<std::string, std::vector<std::size_t>> by_name;
  for (std::size_t i = 0; i < scene.streets.size(); ++i) {
    by_name[scene.streets[i].name].push_back(i);
  }
  std::vector<std::pair<std::size_t, NamedLine>> lines;
  for (const auto& [name, members] : by_name) {
    std::vector<std::vector<Xy>> ways;
    for (const std::size_t i : members) ways.push_back(line_of(scene.streets[i]));
    std::vector<bool> taken(ways.size(), false);
    for (std::size_t first = 0; first < ways.size(); ++first) {
      if (taken[first] || ways[first].size() < 2) continue;
      taken[first] = true;
      std::vector<Xy> line = ways[first];
      if (!name.empty()) {
        std::vector<std::vector<Xy>> free;
        std::vector<std::size_t> at;
        for (std::size_t w = 0; w < ways.size(); ++w) {
          if (taken[w]) continue;
          free.push_back(ways[w]);
          at.push_back(w);
        }
        for (const std::size_t used : grow_line(line, free)) taken[at[used]] = true;
      }
      const Street& street = scene.streets[members[first]];
      lines.push_back({members[first], {street.id, name, StreetLine(std::move(line))}});
    }
  }
  std::sort(lines.begin(), lines.end(),
            [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<NamedLine> sorted;
  sorted.reserve(lines.size());
  for (auto& [order, line] : lines) sorted.push_back(std::move(line));
  return sorted;
}

std::optional<StationLink> best_link(const RayCaster& caster, ScenePoint ground,
                                     const LinkSettings& settings, const PredictOptions& options) {
  const Scene& scene = caster.scene();
  Receiver receiver{.position = ground, .context = scene.conditions.receiver_context};
  receiver.position.z_m += options.receiver_height_agl_m;
  std::optional<StationLink> best;
  for (const LinkResult& link : point_links(caster, receiver, settings, options.radius_m)) {
    if (best && link.rsrp <= best->rsrp) continue;
    best = StationLink{.node = link.node,
                       .sector = link.sector,
                       .sight = link.sight,
                       .distance_2d_m = link.distance_2d_m,
                       .rsrp = link.rsrp,
                       .snr = link.snr,
                       .spread = link.spread(),
                       .downlink_mbps = link.downlink_mbps,
                       .downlink_low_mbps = link.downlink_low_mbps,
                       .downlink_high_mbps = link.downlink_high_mbps,
                       .uplink_mbps = link.uplink_mbps,
                       .uplink_low_mbps = link.uplink_low_mbps,
                       .uplink_high_mbps = link.uplink_high_mbps,
                       .p_hold = link.p_hold,
                       .state = link.state,
                       .cause = link.cause,
                       .cause_obstacle = link.cause_obstacle};
  }
  return best;
}

/// Where the line starts to count, and the stations on it; none when no node reaches it.
StreetWalk lay_out(const Scene& scene, const NamedLine& street, const PredictOptions& options) {
  StreetWalk walk{.street_id = street.id, .street_name = street.name, .stations = {}};
  double foot_m = 0.0;
  walk.off_street_m = std::numeric_limits<double>::infinity();
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    const Xy node = flat(scene.nodes[n].position);
    const double along = street.line.along_of(node);
    const Xy foot = street.line.at(along, 0.0);
    const double off = std::hypot(node.x - foot.x, node.y - foot.y);
    if (walk.off_street_m <= on_street_m || off >= walk.off_street_m) continue;
    walk.off_street_m = off;
    walk.from_node = n;
    foot_m = along;
  }
  const double s = options.spacing_m;
  const auto first = static_cast<long>(std::ceil(-foot_m / s - 1e-9));
  const auto last = static_cast<long>(std::floor((street.line.length_m() - foot_m) / s + 1e-9));
  for (long i = first; i <= last; ++i) {
    const double along = static_cast<double>(i) * s;
    const Xy p = street.line.at(foot_m + along, 0.0);
    walk.stations.push_back({.along_m = along,
                             .place = {p.x, p.y, scene.ground.height_at(p.x, p.y)},
                             .best = std::nullopt});
  }
  return walk;
}

void hold_with_history(StreetWalk& walk, const LinkSettings& settings) {
  for (const bool forward : {true, false}) {
    std::vector<std::size_t> order = walk.outward(forward);
    for (const bool inward : {false, true}) {
      if (inward) std::reverse(order.begin(), order.end());
      std::vector<Dbm> levels;
      levels.reserve(order.size());
      for (const std::size_t i : order) levels.push_back(level_of(walk.stations[i]));
      const auto held = walk_states(levels, settings.drop_rsrp, settings.hold_rsrp);
      for (std::size_t k = 0; k < order.size(); ++k) {
        Station& station = walk.stations[order[k]];
        (inward ? station.held_inward : station.held_outward) = held[k];
      }
    }
  }
}

}  // namespace

Dbm level_of(const Station& station) {
  return station.best ? station.best->rsrp : Dbm(std::numeric_limits<double>::quiet_NaN());
}

std::vector<std::size_t> StreetWalk::outward(bool forward) const {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < stations.size(); ++i) {
    if (forward ? stations[i].along_m >= 0.0 : stations[i].along_m <= 0.0) order.push_back(i);
  }
  if (!forward) std::reverse(order.begin(), order.end());
  return order;
}

std::string name_of(const StreetWalk& walk) {
  return walk.street_name.empty() ? walk.street_id : walk.street_name;
}

std::vector<StreetWalk> walk_streets(const RayCaster& caster, const LinkSettings& settings,
                                     const PredictOptions& options) {
  const Scene& scene = caster.scene();
  if (scene.nodes.empty()) return {};
  const FootprintIndex footprints(scene);
  std::vector<StreetWalk> walks;
  for (const NamedLine& street : joined_streets(scene)) {
    StreetWalk walk = lay_out(scene, street, options);
    if (walk.off_street_m <= options.radius_m) walks.push_back(std::move(walk));
  }
  parallel_blocks(walks.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) {
      StreetWalk& walk = walks[k];
      for (Station& station : walk.stations) {
        const ScenePoint p = station.place;
        if (std::isnan(p.z_m) || footprints.building_at(p.x_m, p.y_m)) continue;
        station.best = best_link(caster, p, settings, options);
      }
      hold_with_history(walk, settings);
    }
  });
  std::erase_if(walks, [](const StreetWalk& walk) {
    return std::none_of(walk.stations.begin(), walk.stations.end(),
                        [](const Station& s) { return s.best.has_value(); });
  });
  return walks;
}

}  // namespace sim
