// What a path crosses and passes: upright things by their walls in plan, crowns by their
// ellipsoids, the rest by rays.
#pragma once

#include <vector>

#include "sim/cast/ground_ceiling.h"
#include "sim/cast/kernel.h"
#include "sim/cast/silhouette.h"
#include "sim/cast/things_near.h"
#include "sim/cast/upright_shapes.h"
#include "sim/cast/wall_view.h"

namespace sim {

class Profiler {
 public:
  Profiler(const Kernel& kernel, const UprightShapes& shapes);

  /// RayCaster::profile and RayCaster::crossings.
  PathProfile profile(ScenePoint a, ScenePoint b, double wavelength_m,
                      const Transparent& through) const;
  std::vector<Crossing> crossings(ScenePoint a, ScenePoint b, const Transparent& through) const;

 private:
  /// Room for the work on one path; a thread has one.
  struct Work {
    std::vector<NearThing> near;
    std::vector<Hit> hits;
    std::vector<Crossing> crossings;
    std::vector<const Crossing*> order;
    std::vector<Passing> passing;
    WallRoom walls;
  };
  static Work& work();
  void trace(PathProfile& path, double wavelength_m, const Transparent& through, Work& work) const;
  /// Adds what rays meet of the ground and of things of these kinds, and those of them that the
  /// path passes; upright things only if told so.
  void add_by_rays(const PathProfile& path, const Transparent& through, KindMask kinds,
                   bool upright_too, Work& work) const;

  const Kernel* kernel_;
  const UprightShapes* shapes_;
  NearbyThings things_;
  GroundCeiling ground_;
  Silhouettes silhouettes_;
};

}  // namespace sim
