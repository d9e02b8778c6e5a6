// A map point is no scene point: only SceneFrame converts.
// message: no match for .operator-.|invalid operands
#include "sim/base/points.h"

const sim::MapPoint on_map{500000.0, 4500000.0, 10.0};
const sim::SceneFrame frame{"", "", {500000.0, 4500000.0, 0.0}, sim::Angle()};
#ifdef BAD
const auto offset = on_map - sim::ScenePoint{1.0, 2.0, 3.0};
#else
const auto offset = frame.scene_from_map(on_map) - sim::ScenePoint{1.0, 2.0, 3.0};
#endif
