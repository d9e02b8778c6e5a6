// The beams a panel can form.
#pragma once

#include "sim/base/assets.h"
#include "sim/base/units.h"
#include "sim/scene/scene.h"

namespace sim {

/// A direction as the antenna sees it.
struct AntennaDirection {
  Angle azimuth;    ///< from boresight, positive clockwise (to the right)
  Angle elevation;  ///< from boresight, positive up
};

/// Steered beams of a uniform rectangular panel at half-wavelength spacing, as a grid in the sines
/// u = cos(elevation) sin(azimuth) and v = sin(elevation):
///
///   u_k = 2 k / (oversampling cols),  v_m = 2 m / (oversampling rows),  k, m = … -1, 0, 1 …
///
/// as far as the panel steers. A beam's gain is the product of two row factors, so the best of all
/// is the best of each axis, which is the nearest of its grid.
/// Source: TR 38.901 section 7.3 for the panel; TS 38.214 section 5.2.2.2.1 for oversampled DFT
/// beams, from memory.
class Codebook {
 public:
  Codebook() = default;
  Codebook(int rows, int cols, double oversampling, Angle widest_azimuth, Angle widest_elevation,
           Db null_depth);

  struct Beam {
    int index = 0;            ///< 0 .. size() - 1: from lowest left, rows of azimuth first
    AntennaDirection points;  ///< where it peaks
    Db gain;                  ///< of the array alone, relative to all elements in phase, <= 0
  };
  Beam best(AntennaDirection direction) const;
  /// Gain of the array averaged in power over all beams: what a passer-by gets of a panel that
  /// serves others.
  Db mean_gain(AntennaDirection direction) const;

  int size() const { return (2 * last_across_ + 1) * (2 * last_up_ + 1); }
  int elements() const { return rows_ * cols_; }

 private:
  int rows_ = 1, cols_ = 1;
  double step_across_ = 2.0, step_up_ = 2.0;
  int last_across_ = 0, last_up_ = 0;
  Db null_depth_;
};

/// Both codebooks of a sector.
struct SectorBeams {
  Codebook data;
  Codebook broadcast;  ///< fewer and wider: SSB
  Db broadcast_peak;   ///< below the data beam's peak, <= 0
};
SectorBeams sector_beams(const Sector& sector, const Defaults& defaults);

}  // namespace sim
