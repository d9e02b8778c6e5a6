// Free space.
#pragma once

#include "sim/base/units.h"

namespace sim {

/// Basic transmission loss in free space between isotropic antennas.
///
///   L_bf = 20 log10(4 pi d / lambda)                       [dB]
///     d       distance      distance_m       m      > 0
///     lambda  wavelength    c / f            m
///
/// Source:   [P.525], the loss formula for isotropic antennas; equation number not read
/// Valid:    the far field of both antennas
/// Differs:  exact form, not the rounded 32.4 dB constant (0.048 dB more)
Db free_space_loss(Frequency f, double distance_m) noexcept;

}  // namespace sim
