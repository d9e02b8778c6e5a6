#include <algorithm>
#include <cmath>
#include <map>

#include "sim/base/parallel.h"
#include "sim/predict/prediction.h"

namespace sim {
namespace {

struct Station {
  double along_m = 0.0;
  ScenePoint place;  ///< on the ground
  std::optional<LinkResult> best;
};

/// Stations every `step_m` along a line, from its start.
std::vector<Station> stations_on(const Scene& scene, const std::vector<ScenePoint>& line,
                                 double step_m) {
  std::vector<Station> stations;
  double walked = 0.0, next = 0.0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = horizontal_distance_m(line[i], line[i + 1]);
    for (; next <= walked + length && length > 0.0; next += step_m) {
      ScenePoint p = line[i] + ((next - walked) / length) * (line[i + 1] - line[i]);
      p.z_m = scene.ground.height_at(p.x_m, p.y_m);
      stations.push_back({.along_m = next, .place = p, .best = {}});
    }
    walked += length;
  }
  return stations;
}

/// What takes the link away most often along a stretch.
void blame(DropStretch& stretch, const std::vector<Station>& stations, std::size_t first,
           std::size_t last) {
  std::map<std::pair<Cause, ObstacleId>, std::size_t> votes;
  for (std::size_t i = first; i < last; ++i) {
    ++votes[{stations[i].best->cause, stations[i].best->cause_obstacle}];
    stretch.worst = std::min(stretch.worst, stations[i].best->state);
  }
  const auto most = std::max_element(
      votes.begin(), votes.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  stretch.cause = most->first.first;
  stretch.cause_obstacle = most->first.second;
}

}  // namespace

std::vector<DropStretch> find_drops(const RayCaster& caster, const LinkSettings& settings,
                                    const PredictOptions& options) {
  const Scene& scene = caster.scene();
  const FootprintIndex footprints(scene);
  std::vector<std::vector<DropStretch>> by_street(scene.streets.size());
  parallel_blocks(scene.streets.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) {
      const Street& street = scene.streets[k];
      std::vector<Station> stations = stations_on(scene, street.line, options.spacing_m);
      for (Station& station : stations) {
        if (std::isnan(station.place.z_m) ||
            footprints.building_at(station.place.x_m, station.place.y_m)) {
          continue;
        }
        Receiver receiver{.position = station.place, .context = scene.conditions.receiver_context};
        receiver.position.z_m += options.receiver_height_agl_m;
        for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
          if (horizontal_distance_m(scene.nodes[n].position, station.place) > options.radius_m) {
            continue;
          }
          for (LinkResult& link : node_links(caster, n, receiver, settings)) {
            if (!station.best || link.rsrp > station.best->rsrp) station.best = std::move(link);
          }
        }
      }
      const auto drops = [&](std::size_t i) {
        return stations[i].best && stations[i].best->state != LinkState::hold;
      };
      for (std::size_t i = 0; i < stations.size();) {
        if (!drops(i)) {
          ++i;
          continue;
        }
        std::size_t last = i;
        while (last < stations.size() && drops(last)) ++last;
        DropStretch stretch{.street_id = street.id,
                            .street_name = street.name,
                            .from_m = stations[i].along_m,
                            .to_m = stations[last - 1].along_m,
                            .line = {},
                            .worst = LinkState::marginal};
        for (std::size_t s = i; s < last; ++s) stretch.line.push_back(stations[s].place);
        blame(stretch, stations, i, last);
        const LinkResult& middle = *stations[(i + last - 1) / 2].best;
        stretch.node = scene.nodes[middle.node].id;
        stretch.sector = scene.nodes[middle.node].sectors[middle.sector].id;
        by_street[k].push_back(std::move(stretch));
        i = last;
      }
    }
  });
  std::vector<DropStretch> all;
  for (auto& stretches : by_street) {
    for (DropStretch& stretch : stretches) all.push_back(std::move(stretch));
  }
  return all;
}

}  // namespace sim
