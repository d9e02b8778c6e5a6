// What a path crosses and passes: upright things by their walls in plan, crowns by their ellipsoids,
// the rest by rays.
#pragma once

#include <vector>

#include "sim/cast/ground_ceiling.h"
#include "sim/cast/kernel.h"
#include "sim/cast/silhouette.h"
#include "sim/cast/things_near.h"
#include "sim/cast/upright_shapes.h"

namespace sim {

class Profiler {
 public:
  Profiler(const Kernel& kernel, const UprightShapes& shapes);

  /// RayCaster::profile and RayCaster::crossings.
  PathProfile profile(ScenePoint a, ScenePoint b, double wavelength_m,
                      const Transparent& through) const;
  std::vector<Crossing> crossings(ScenePoint a, ScenePoint b, const Transparent& through) const;

 private:
  void trace(PathProfile& path, double wavelength_m, const Transparent& through,
             std::vector<NearThing>& near) const;
  /// Crossings of the ground and of things of these kinds by rays; upright things only if told so.
  void add_by_rays(const PathProfile& path, const Transparent& through, KindMask kinds,
                   bool upright_too, std::vector<Crossing>& crossings) const;

  const Kernel* kernel_;
  const UprightShapes* shapes_;
  NearbyThings things_;
  GroundCeiling ground_;
  Silhouettes silhouettes_;
};

}  // namespace sim
