// Which part of a face a beam can light.
#pragma once

#include <optional>

#include "sim/cast/ray_caster.h"
#include "sim/cast/reflecting_faces.h"

namespace sim {

/// What leaves an image of a node through a window of the face that made it; without a face, what
/// leaves the node itself.
struct Beam {
  ScenePoint apex;
  const ReflectingFace* through = nullptr;
  FaceWindow window;
};

/// The least window of a face that holds every point of it which the beam reaches without ground or
/// a building in between. Exact shadows are cut out, one for each thing that stands in the way, so
/// a window can be too large but never too small; a gap of less than a millimetre lets nothing
/// through. nullopt: the beam lights no part.
std::optional<FaceWindow> lit_window(const RayCaster& caster, const ReflectingFaces& faces,
                                     const Beam& beam, const ReflectingFace& face);

}  // namespace sim
