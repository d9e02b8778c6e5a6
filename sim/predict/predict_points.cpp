#include <algorithm>
#include <cmath>

#include "sim/base/parallel.h"
#include "sim/link/interference.h"
#include "sim/predict/prediction.h"

namespace sim {

std::optional<ReceiverPoint> receiver_point(const Scene& scene, std::string id, MapPoint place,
                                            double height_agl_m, ReceiverContext context) {
  ScenePoint p = scene.frame.scene_from_map(place);
  const double ground = scene.ground.height_at(p.x_m, p.y_m);
  if (std::isnan(ground)) return std::nullopt;
  p.z_m = ground + height_agl_m;
  return ReceiverPoint{.id = std::move(id),
                       .receiver = {.position = p, .context = context},
                       .elevation_m = scene.frame.map_from_scene({p.x_m, p.y_m, ground}).z_m,
                       .height_agl_m = height_agl_m};
}

std::vector<LinkResult> node_links(const RayCaster& caster, NodeIndex node,
                                   const Receiver& receiver, const LinkSettings& settings) {
  const Scene& scene = caster.scene();
  const auto& sectors = scene.nodes[node].sectors;
  std::vector<LinkResult> links;
  links.reserve(sectors.size());
  std::optional<TracedPath> traced;
  for (std::uint32_t s = 0; s < sectors.size(); ++s) {
    // Sectors of one frequency see the same path; the last of them takes it.
    if (s == 0 || sectors[s].frequency != sectors[s - 1].frequency) {
      traced = trace_path(caster, node, sectors[s].frequency, receiver, settings);
    }
    const bool last = s + 1 == sectors.size() || sectors[s + 1].frequency != sectors[s].frequency;
    links.push_back(last ? link_on(scene, std::move(*traced), s, settings)
                         : link_on(scene, *traced, s, settings));
  }
  return links;
}

std::vector<LinkResult> point_links(const RayCaster& caster, const Receiver& receiver,
                                    const LinkSettings& settings, double radius_m) {
  const Scene& scene = caster.scene();
  std::vector<LinkResult> links;
  for (NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    if (horizontal_distance_m(scene.nodes[n].position, receiver.position) > radius_m) continue;
    for (LinkResult& link : node_links(caster, n, receiver, settings)) {
      links.push_back(std::move(link));
    }
  }
  add_interference(scene, links, settings);
  return links;
}

ReceiverAnswers predict_points(const RayCaster& caster, const std::vector<ReceiverPoint>& points,
                               const LinkSettings& settings, const PredictOptions& options) {
  const Scene& scene = caster.scene();
  const FootprintIndex footprints(scene);
  std::vector<std::vector<ReceiverRow>> by_point(points.size());
  std::vector<std::size_t> beyond(points.size(), 0);
  parallel_blocks(points.size(), 16, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Receiver& receiver = points[i].receiver;
      beyond[i] = static_cast<std::size_t>(
          std::count_if(scene.nodes.begin(), scene.nodes.end(), [&](const Node& node) {
            return horizontal_distance_m(node.position, receiver.position) > options.radius_m;
          }));
      for (LinkResult& link : point_links(caster, receiver, settings, options.radius_m)) {
        by_point[i].push_back({points[i], std::move(link)});
      }
    }
  });
  ReceiverAnswers answers;
  for (std::size_t i = 0; i < points.size(); ++i) {
    answers.beyond_radius += beyond[i];
    const ScenePoint p = points[i].receiver.position;
    if (footprints.building_at(p.x_m, p.y_m)) ++answers.inside_building;
    for (ReceiverRow& row : by_point[i]) answers.rows.push_back(std::move(row));
  }
  return answers;
}

}  // namespace sim
