// What the faces of a scene send back at one frequency.
#pragma once

#include <complex>

#include "sim/cast/reflecting_faces.h"
#include "sim/link/link.h"

namespace sim {

class MirrorSurfaces {
 public:
  MirrorSurfaces(const Scene& scene, Frequency f, const LinkSettings& settings);

  /// Fills te and tm of a bounce whose incidence is known: a building by its walls and windows, the
  /// ground by its roughness, other things by their material.
  void set_coefficients(const ReflectingFace& face, Bounce& bounce) const;

  /// Share of the power that the mirror image keeps, the mean of both polarizations.
  double power_share(const ReflectingFace& face, Angle incidence) const;

 private:
  const Scene& scene_;
  Frequency f_;
  std::complex<double> glass_;
  const LinkSettings& settings_;
};

}  // namespace sim
