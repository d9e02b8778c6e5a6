// Frames of the map as bytes.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "sim/serve/coarse_to_fine.h"

namespace sim {

/// Takes some bytes on; false = nobody is there any more.
using ByteSink = std::function<bool(std::string_view bytes)>;

/// One frame: u32 little-endian length of the header, the header as JSON (`FrameHeader` of
/// tools/viewer/src/live.ts), then the bands in the order it names, each filled up with zeros to a
/// multiple of 4 bytes. `edges` is JSON of its field. False when the sink ends it.
bool write_frame(const MapFrame& frame, const SceneFrame& axes, double elapsed_ms,
                 const std::string& edges, const ByteSink& sink);

}  // namespace sim
