// The scene as files that other programs open.
#pragma once

#include <string>

#include "sim/scene/scene.h"

namespace sim {

/// One GLB (glTF 2.0): a node per obstacle kind with vertex colours; metres, y up as glTF asks;
/// extras carry the CRS and the origin. Throws InputError when the file cannot be written.
void write_glb(const std::string& path, const Scene& scene);

/// Every triangle of the scene in map coordinates relative to the origin, coloured by kind.
void write_ply(const std::string& path, const Scene& scene);

}  // namespace sim
