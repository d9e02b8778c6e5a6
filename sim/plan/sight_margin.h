// How far a tester may step before the node is out of sight.
#pragma once

#include <optional>

#include "sim/base/units.h"
#include "sim/cast/ray_caster.h"
#include "sim/scene/scene_builder.h"

namespace sim {

/// True when nothing at all, leaves included, crosses the straight line from a node's antennas to a
/// phone. The node's own pole does not count.
bool in_sight(const RayCaster& caster, NodeIndex node, ScenePoint phone);

struct SightMargin {
  double margin_m = 0.0;  ///< any step up to this keeps sight, whichever way; a multiple of 0.1 m
  bool at_least = false;  ///< sight holds as far as was looked
  std::optional<Angle> not_towards;  ///< true azimuth of the nearest place without sight
  ObstacleId blocker = no_obstacle;  ///< what comes in the way there
};

/// Looks round a phone that has sight: on rings 0.1 m apart with rays 0.1 m apart on each, so that
/// no shadow wider than 0.1 m is missed (a thing's shadow is wider than the thing). The ground is
/// followed; places inside buildings and off the ground raster are no steps.
SightMargin sight_margin(const RayCaster& caster, const FootprintIndex& footprints, NodeIndex node,
                         ScenePoint phone, double height_agl_m, double look_m);

}  // namespace sim
