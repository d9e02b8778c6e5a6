#include "sim/explain/serving_link.h"

#include <algorithm>

namespace sim {

std::optional<LinkResult> serving_link(const RayCaster& caster, const Receiver& receiver,
                                       const std::string& node_id, const LinkSettings& settings,
                                       const PredictOptions& options) {
  const auto& nodes = caster.scene().nodes;
  const bool named =
      std::any_of(nodes.begin(), nodes.end(), [&](const Node& node) { return node.id == node_id; });
  std::optional<LinkResult> best;
  for (NodeIndex n = 0; n < nodes.size(); ++n) {
    if (named && nodes[n].id != node_id) continue;
    if (horizontal_distance_m(nodes[n].position, receiver.position) > options.radius_m) continue;
    for (LinkResult& link : node_links(caster, n, receiver, settings)) {
      if (!best || link.rsrp > best->rsrp) best = std::move(link);
    }
  }
  return best;
}

}  // namespace sim
