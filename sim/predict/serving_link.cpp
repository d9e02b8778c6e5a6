#include "sim/predict/serving_link.h"

#include <algorithm>

namespace sim {

std::optional<LinkResult> serving_link(const RayCaster& caster, const Receiver& receiver,
                                       const std::string& node_id, const LinkSettings& settings,
                                       const PredictOptions& options) {
  const auto& nodes = caster.scene().nodes;
  const bool named =
      std::any_of(nodes.begin(), nodes.end(), [&](const Node& node) { return node.id == node_id; });
  std::optional<LinkResult> best;
  for (LinkResult& link : point_links(caster, receiver, settings, options.radius_m)) {
    if (named && nodes[link.node].id != node_id) continue;
    if (!best || link.rsrp > best->rsrp) best = std::move(link);
  }
  return best;
}

}  // namespace sim
