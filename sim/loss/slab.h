// Walls and panes: what comes back and what gets through.
#pragma once

#include <complex>
#include <span>

#include "sim/base/units.h"

namespace sim {

/// TE: the electric field stands across the plane of incidence (vertical polarization on a vertical
/// wall in a level plane). TM: it lies in it.
enum class WavePolarization { te, tm };

/// Reflection coefficient of a half space, seen from air; incidence from the normal.
///
///   R_TE = (cos t - q) / (cos t + q),  R_TM = (eta cos t - q) / (eta cos t + q),
///   q = sqrt(eta - sin^2 t)
///
/// Source:   [P.2040] section 2.2.1; textbook form, from memory
/// Valid:    plane wave, smooth surface, 0 <= t < 90 degrees
/// Differs:  nothing
std::complex<double> half_space_reflection(std::complex<double> eta, Angle incidence,
                                           WavePolarization polarization) noexcept;

struct SlabLoss {
  Db transmission;           ///< -20 log10 |T|
  Db reflection;             ///< 20 log10 |R|, at most 0
  double reflected_share;    ///< |R|^2
  double transmitted_share;  ///< |T|^2
};

/// A slab in air, with the waves that run to and fro within it.
///
///   q = (2 pi d / lambda) sqrt(eta - sin^2 t)
///   R = R' (1 - e^(-2jq)) / (1 - R'^2 e^(-2jq)),  T = (1 - R'^2) e^(-jq) / (1 - R'^2 e^(-2jq))
///     R'  reflection of the half space
///     d   thickness            thickness_m      m      >= 0
///
/// Source:   [P.2040] section 2.2.2.2; textbook form, from memory
/// Valid:    plane wave, parallel smooth faces
/// Differs:  nothing; the loss swings with the thickness by 2-3 dB for glass at 28 GHz
SlabLoss slab_loss(std::complex<double> eta, double thickness_m, Frequency f, Angle incidence,
                   WavePolarization polarization) noexcept;

struct Layer {
  std::complex<double> eta;
  double thickness_m = 0.0;
};

/// Several layers in air, as double glazing: the same waves, layer by layer.
///
/// The reflection is carried from the last face to the first,
///   R_i = (r_i + R_(i+1) e^(-2jq)) / (1 + r_i R_(i+1) e^(-2jq)),
/// which equals the product of the layers' transfer matrices and cannot overflow.
///
/// Source:   [P.2040] section 2.2.2, multi-layer slab; textbook form, from memory
/// Valid:    plane wave, parallel smooth faces
/// Differs:  the recursion in place of the matrix product, to the same numbers
SlabLoss layered_slab_loss(std::span<const Layer> layers, Frequency f, Angle incidence,
                           WavePolarization polarization) noexcept;

}  // namespace sim
